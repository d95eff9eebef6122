// Readings that were typed, kept in the browser until the book has them. Each has its entry's name from the start, so
// that sending it again is harmless.
import { signal } from "@preact/signals";
import type { Schemas } from "../model/outcome";
import { jobPath, send, Trouble } from "./client";

export type NewReading = Schemas["NewReading"];
export interface Waiting { entry: string; job: string; reading: NewReading; at: number; refused?: string }

/** What waits, oldest first. */
export const waiting = signal<Waiting[]>([]);

let opened: Promise<IDBDatabase> | null = null;
function database(): Promise<IDBDatabase> {
  opened ??= new Promise((resolve, reject) => {
    const request = indexedDB.open("strandbook", 1);
    request.onupgradeneeded = () => request.result.createObjectStore("waiting", { keyPath: "entry" });
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
  return opened;
}
async function change(act: (store: IDBObjectStore) => IDBRequest): Promise<unknown> {
  const transaction = (await database()).transaction("waiting", "readwrite", { durability: "strict" });
  const request = act(transaction.objectStore("waiting"));
  return new Promise((resolve, reject) => {
    transaction.oncomplete = () => resolve(request.result);
    transaction.onerror = () => reject(transaction.error);
  });
}
async function reload(): Promise<void> {
  const all = (await change((store) => store.getAll())) as Waiting[];
  waiting.value = all.sort((a, b) => a.at - b.at);
}

/** Keeps the reading here first, then sends all that waits, in order. Null: it still waits. */
export async function record(job: string, reading: NewReading): Promise<Schemas["Kept"] | null> {
  await change((store) => store.put({ entry: reading.entry, job, reading, at: performance.timeOrigin + performance.now() } satisfies Waiting));
  await flush();
  const refused = waiting.value.find((one) => one.entry === reading.entry)?.refused;
  if (refused) throw new Error(refused);
  const kept = delivered.get(reading.entry) ?? null;
  delivered.delete(reading.entry);
  return kept;
}

/** Answers that `record` still has to fetch. */
const delivered = new Map<string, Schemas["Kept"]>();
let sending: Promise<void> = Promise.resolve();

/** Sends what waits, oldest first, one after the other; a refused one stays and says why. */
export function flush(): Promise<void> {
  sending = sending.then(sendAll, sendAll);
  return sending;
}
async function sendAll(): Promise<void> {
  await reload();
  for (const one of waiting.value) {
    if (one.refused) continue;
    try {
      delivered.set(one.entry, await send<Schemas["Kept"]>("POST", `${jobPath(one.job)}/readings`, one.reading));
    } catch (trouble) {
      if (!(trouble instanceof Trouble) || trouble.away) break;  // later ones must not overtake it
      await change((store) => store.put({ ...one, refused: trouble.message }));
      continue;
    }
    await change((store) => store.delete(one.entry));
  }
  await reload();
}
/** The person gives a refused reading up. */
export async function giveUp(entry: string): Promise<void> {
  await change((store) => store.delete(entry));
  await reload();
}
