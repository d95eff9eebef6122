// Calls of the service. What goes wrong becomes a Trouble with words for the person.
import { preferences } from "../model/format";
import type { Schemas } from "../model/outcome";

export class Trouble extends Error {
  constructor(readonly problem: Schemas["Problem"] | null, readonly status: number) {
    super(problem?.what ?? "offline");
  }
  /** The service did not answer: the same may succeed later. */
  get away(): boolean { return this.status === 0 || this.status >= 502; }
}

export const root = "/api/v1";
export const jobPath = (job: string): string => `${root}/jobs/${encodeURIComponent(job)}`;

async function ask(path: string, init: RequestInit): Promise<Response> {
  let response: Response;
  try {
    response = await fetch(path, { ...init, headers: { ...init.headers, "accept-language": preferences.value.language } });
  } catch {
    throw new Trouble(null, 0);
  }
  if (response.ok) return response;
  const body = (await response.json().catch(() => null)) as Schemas["Error"] | null;
  throw new Trouble(body?.error ?? { what: response.statusText, found: "", expected: "", advice: "", place: null }, response.status);
}
export async function get<T>(path: string): Promise<T> {
  return (await ask(path, { headers: { accept: "application/json" } })).json() as Promise<T>;
}
/** A body that is no JSON. */
export const bytes = async (path: string): Promise<ArrayBuffer> => (await ask(path, {})).arrayBuffer();
export async function send<T>(method: "POST" | "PUT" | "DELETE", path: string, body?: unknown): Promise<T> {
  const init: RequestInit = { method };
  if (body !== undefined) {
    init.body = JSON.stringify(body);
    init.headers = { "content-type": "application/json" };
  }
  const response = await ask(path, init);
  return (response.status === 204 ? null : await response.json()) as T;
}
export async function upload<T>(path: string, file: Blob): Promise<T> {
  return (await ask(path, { method: "POST", body: file, headers: { "content-type": "application/octet-stream" } })).json() as Promise<T>;
}
