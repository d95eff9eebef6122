// The job that is open: its overview and map, kept fresh by the events of the service.
import { computed, signal } from "@preact/signals";
import { dense, put, type Dense, type JobMap } from "../model/map";
import type { Schemas } from "../model/outcome";
import { get, jobPath } from "./client";
import { flush } from "./queue";

export const job = signal<Schemas["Job"] | null>(null);
export const map = signal<Dense | null>(null);
/** Rises with every change of the map's cells. */
export const drawn = signal(0);
export const connected = signal(false);
export const trouble = signal("");
export const revision = computed(() => job.value?.revision ?? 0);

let events: EventSource | null = null;
let open = "";

let asked = 0;

export async function refresh(): Promise<void> {
  const id = open;
  if (!id) return;
  const mine = ++asked;
  try {
    const [overview, whole] = await Promise.all([get<Schemas["Job"]>(jobPath(id)), get<JobMap>(`${jobPath(id)}/map`)]);
    if (id !== open || mine !== asked) return;  // answers may overtake each other: the newest question's counts
    job.value = overview;
    map.value = dense(whole);
    drawn.value++;
    trouble.value = "";
  } catch (failure) {
    trouble.value = (failure as Error).message;
  }
}

function take(change: Schemas["ChangeEvent"]): void {
  const overview = job.value;
  const all = map.value;
  if (!overview || !all || change.whole) return void refresh();
  for (const strand of change.strands) put(all, strand.index, strand.cells);
  job.value = { ...overview, revision: change.revision, summary: change.summary };
  drawn.value++;
}

export function openJob(id: string): void {
  if (id === open) return;
  open = id;
  events?.close();
  job.value = null;
  map.value = null;
  connected.value = false;
  if (!id) return;
  // First the events, then the map: nothing that happens in between is missed.
  events = new EventSource(`${jobPath(id)}/events`);
  events.addEventListener("change", (event) => take(JSON.parse((event as MessageEvent<string>).data) as Schemas["ChangeEvent"]));
  events.onopen = () => {
    connected.value = true;
    void flush().then(refresh);  // after a silence the book may have gone on without us
  };
  events.onerror = () => {
    connected.value = false;
    if (!map.value) void refresh();  // what was known last, from the worker
  };
}
