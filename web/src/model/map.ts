// The dense map of a job: every strand by wavelength and direction, filtered without copying the texts.
import { letters, type Schemas } from "./outcome";

export type JobMap = Schemas["JobMap"];
export interface Filter { text: string; building: string; person: string; outcome: string }
export const noFilter: Filter = { text: "", building: "", person: "", outcome: "" };

/** One byte per strand and column: index into letters, or 255 where there is no such test. */
export interface Dense { map: JobMap; cells: Uint8Array[]; linkOf: Uint32Array }

export function dense(map: JobMap): Dense {
  const count = map.strands.length;
  const linkOf = new Uint32Array(count);
  let at = 0;
  for (const [link = 0, strands = 0] of map.runs) {
    linkOf.fill(link, at, at + strands);
    at += strands;
  }
  const cells = map.cells.map((text) => {
    const column = new Uint8Array(count);
    for (let i = 0; i < count; ++i) column[i] = codeOf(text.charAt(i));
    return column;
  });
  return { map, cells, linkOf };
}
function codeOf(letter: string): number {
  const code = letters.indexOf(letter);
  return code < 0 ? 255 : code;
}
/** The service's newest letters of one strand, one per column. */
export function put(all: Dense, strand: number, text: string): void {
  all.cells.forEach((column, i) => { column[strand] = codeOf(text.charAt(i)); });
}

/** Strands that pass the filter, in the order of the schedule. */
export function shown(all: Dense, filter: Filter): Uint32Array {
  const { map } = all;
  const words = filter.text.toLowerCase();
  const code = filter.outcome ? letters.indexOf(filter.outcome) : -1;
  const person = filter.person ? map.people.indexOf(filter.person) : -1;
  const links = map.links.map((link) => (!filter.building || link.building === filter.building)
    && (!words || `${link.link} ${link.cable} ${link.end_a} ${link.end_b}`.toLowerCase().includes(words)));
  const found = new Uint32Array(map.strands.length);
  let kept = 0;
  for (let i = 0; i < found.length; ++i) {
    if (!links[all.linkOf[i]!]) continue;
    if (person >= 0 && map.people_of[i] !== person) continue;
    if (code >= 0 && !all.cells.some((column) => column[i] === code)) continue;
    found[kept++] = i;
  }
  return found.subarray(0, kept);
}

/** A reading is on its way: the test is no longer due, and its outcome is the book's to tell. */
export function markSent(all: Dense, due: Due): void { all.cells[due.column]![due.strand] = 254; }

export interface Due { strand: number; column: number }
export interface Place { link: JobMap["links"][number] | undefined; column: JobMap["columns"][number] | undefined; strand: string }
export const nowhere: Place = { link: undefined, column: undefined, strand: "" };
export const placeAt = ({ map, linkOf }: Dense, due: Due): Place =>
  ({ link: map.links[linkOf[due.strand]!], column: map.columns[due.column], strand: map.strands[due.strand] ?? "" });

/** Index of a strand by its names, from the first run of its link on; -1 where there is none. */
function strandNamed(all: Dense, link: string, strand: string): number {
  return all.map.strands.findIndex((name, i) => name === strand && all.map.links[all.linkOf[i]!]!.link === link);
}
/** The strand's first test without a reading, else its first test. */
export function placeNamed(all: Dense, link: string, name: string): Due | null {
  const strand = strandNamed(all, link, name);
  if (strand < 0) return null;
  const untested = all.cells.findIndex((column) => column[strand] === letters.indexOf("N"));
  return { strand, column: untested >= 0 ? untested : Math.max(0, all.cells.findIndex((column) => column[strand] !== 255)) };
}
/** Readings that wait to be sent: their tests are not due. */
export function markWaiting(all: Dense, readings: { link: string; strand: string; wavelength_nm: number; direction?: string | null }[]): void {
  for (const reading of readings) {
    const strand = strandNamed(all, reading.link, reading.strand);
    const column = all.map.columns.findIndex((each) => each.wavelength_nm === reading.wavelength_nm && (each.direction === null || each.direction === reading.direction));
    if (strand >= 0 && column >= 0) markSent(all, { strand, column });
  }
}
/** Places of all tests in the order that walks the panels: link by link, and in each link strand by strand or one
    wavelength after the other. A place is strand times columns plus column. */
function walk(all: Dense, byWavelength: boolean): Uint32Array {
  const columns = all.cells.length;
  const order = new Uint32Array(all.map.strands.length * columns);
  let at = 0;
  let first = 0;
  for (const [, count = 0] of all.map.runs) {
    const outer = byWavelength ? columns : count;
    const inner = byWavelength ? count : columns;
    for (let a = 0; a < outer; ++a)
      for (let b = 0; b < inner; ++b) order[at++] = byWavelength ? (first + b) * columns + a : (first + a) * columns + b;
    first += count;
  }
  return order;
}

/** The next test without a reading after `from`, from the beginning again at the end. */
export function nextDue(all: Dense, from: Due | null, byWavelength: boolean, link: number | null): Due | null {
  const columns = all.cells.length;
  const order = walk(all, byWavelength);
  const notTested = letters.indexOf("N");
  const start = from ? order.indexOf(from.strand * columns + from.column) + 1 : 0;
  for (let step = 0; step < order.length; ++step) {
    const place = order[(start + step) % order.length]!;
    const due = { strand: Math.floor(place / columns), column: place % columns };
    if (all.cells[due.column]![due.strand] !== notTested) continue;
    if (link !== null && all.linkOf[due.strand] !== link) continue;
    return due;
  }
  return null;
}
