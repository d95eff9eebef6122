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

/** Keeps the reading here first, then sends it. Null: it waits. */
export async function record(job: string, reading: NewReading): Promise<Schemas["Kept"] | null> {
  await change((store) => store.put({ entry: reading.entry, job, reading, at: Date.now() } satisfies Waiting));
  await reload();
  return deliver(reading.entry);
}

async function deliver(entry: string): Promise<Schemas["Kept"] | null> {
  const one = waiting.value.find((each) => each.entry === entry);
  if (!one) return null;
  try {
    const kept = await send<Schemas["Kept"]>("POST", `${jobPath(one.job)}/readings`, one.reading);
    await change((store) => store.delete(entry));
    await reload();
    return kept;
  } catch (trouble) {
    if (!(trouble instanceof Trouble)) throw trouble;
    if (!trouble.away) {
      await change((store) => store.put({ ...one, refused: trouble.message }));
      await reload();
      throw trouble;
    }
    return null;
  }
}

let sending = false;
/** Sends what waits, in order. A refused one stays and says why. */
export async function flush(): Promise<void> {
  if (sending) return;
  sending = true;
  try {
    await reload();
    for (const one of waiting.value) {
      if (one.refused) continue;
      try {
        if (!(await deliver(one.entry))) return;
      } catch { /* its words stand with it */ }
    }
  } finally {
    sending = false;
  }
}
/** The person gives a refused reading up. */
export async function giveUp(entry: string): Promise<void> {
  await change((store) => store.delete(entry));
  await reload();
}
