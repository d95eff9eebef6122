// One formatter per unit; decimal sign and unit of length as the person chose.
import { signal } from "@preact/signals";

export type Decibels = number & { readonly unit?: "dB" };
export type PowerDbm = number & { readonly unit?: "dBm" };

export interface Preferences { language: "en" | "de"; comma: boolean; feet: boolean; paper: "auto" | "bright" | "dark"; person: string }
const stored = "strandbook-preferences";
const german = navigator.language.startsWith("de");
const first: Preferences = { language: german ? "de" : "en", comma: german, feet: false, paper: "auto", person: "" };
/** A page that is opened from a disk may have no storage: then nothing is remembered. */
function remembered(): Partial<Preferences> {
  try { return JSON.parse(localStorage.getItem(stored) ?? "{}") as Partial<Preferences>; } catch { return {}; }
}
export const preferences = signal<Preferences>({ ...first, ...remembered() });
export function prefer(change: Partial<Preferences>): void {
  preferences.value = { ...preferences.value, ...change };
  try { localStorage.setItem(stored, JSON.stringify(preferences.value)); } catch { /* as above */ }
}

function written(text: string): string {
  const signed = text.replace("-", "\u2212");
  return preferences.value.comma ? signed.replace(".", ",") : signed;
}
export const decimal = (value: number, places: number): string => written(value.toFixed(places));
/** A number of no fixed unit, to so many digits that count. */
export const digits = (value: number, count: number): string => written(String(Number(value.toPrecision(count))));
export const decibels = (value: Decibels | null | undefined): string => (value == null ? "–" : `${decimal(value, 2)} dB`);
export const level = (value: PowerDbm | null | undefined): string => (value == null ? "–" : `${decimal(value, 2)} dBm`);
export function percent(share: number): string {
  if (share > 0 && share < 0.001) return `< ${decimal(0.1, 1)} %`;  // never a nought or a hundred that is none
  if (share < 1 && share > 0.999) return `> ${decimal(99.9, 1)} %`;
  return `${decimal(share * 100, share > 0 && share < 1 ? 1 : 0)} %`;
}
/** A probability that was rounded on its way: never sure. */
export const likely = (share: number): string => percent(Math.min(Math.max(share, 1e-9), 1 - 1e-9));
export function length(metres: number | null | undefined): string {
  if (metres == null) return "–";
  return preferences.value.feet ? `${decimal(metres / 0.3048, 0)} ft` : `${decimal(metres, 1)} m`;
}
/** A place on a trace: finer than a length of cable. */
export const along = (metres: number): string =>
  preferences.value.feet ? `${decimal(metres / 0.3048, 1)} ft` : `${decimal(metres, 1)} m`;
export const nanometres = (value: number | null | undefined): string => (value == null ? "–" : `${value} nm`);
export const arrow = (direction: string | null | undefined): string => (direction === "AB" ? "A→B" : direction === "BA" ? "B→A" : "");
export function moment(iso: string | null | undefined): string {
  if (!iso) return "–";
  const date = new Date(iso);
  return isNaN(date.getTime()) ? iso
    : date.toLocaleString(preferences.value.language === "de" ? "de-DE" : "en-GB", { dateStyle: "short", timeStyle: "short" });
}
export function age(seconds: number | null | undefined): string {
  if (seconds == null) return "–";
  const hours = Math.floor(seconds / 3600);
  if (hours >= 72) return `${Math.floor(hours / 24)} d`;
  return hours > 0 ? `${hours} h ${Math.floor((seconds % 3600) / 60)} min` : `${Math.floor(seconds / 60)} min`;
}
/** What was typed, with either decimal sign; null while it is no number yet. */
export function typed(text: string): number | null {
  const plain = text.replace(",", ".").replace("\u2212", "-");
  return /^-?\d+(\.\d*)?$|^-?\.\d+$/.test(plain) ? Number(plain) : null;
}
