// The message catalogue. Keys are the same in every language; a test holds them together.
import { english } from "./texts.en";
import { german } from "./texts.de";
import { preferences } from "./format";

export type Key = keyof typeof english;
const languages: Record<"en" | "de", Record<Key, string>> = { en: english, de: german };

/** The text in the person's language, with {name} replaced. */
export function t(key: Key, values: Record<string, string | number> = {}): string {
  return languages[preferences.value.language][key].replace(/\{(\w+)\}/g, (_, name: string) => String(values[name] ?? ""));
}
/** A text whose key the service gives, such as a reason; its own words where the catalogue has none. */
export function said(prefix: string, code: string | null | undefined, otherwise: string): string {
  const key = `${prefix}.${(code ?? "").replace(/[ _]/g, "-")}`;
  return key in english ? t(key as Key) : otherwise;
}
