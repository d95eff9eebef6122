// The layout of the map: links as blocks one below the other, strands beside each other, columns as rows.
import { letters } from "./outcome";
import type { Dense } from "./map";

export const margin = 120;
export interface Row { link: number; strands: Uint32Array; columns: number[]; y: number }
export interface Layout { cell: number; perRow: number; rows: Row[]; height: number }

/** Columns in which some strand of the link has a test. */
function columnsOf(all: Dense): number[][] {
  const has = all.map.links.map(() => new Set<number>());
  all.cells.forEach((column, c) => column.forEach((code, strand) => { if (code < letters.length || code === 254) has[all.linkOf[strand]!]!.add(c); }));
  return has.map((columns) => (columns.size > 0 ? [...columns].sort((a, b) => a - b) : [0]));
}

export function layOut(all: Dense, strands: Uint32Array, width: number, cell: number): Layout {
  const perRow = Math.max(1, Math.floor((width - margin) / cell));
  const columns = columnsOf(all);
  const rows: Row[] = [];
  let y = 4;
  for (let i = 0; i < strands.length;) {
    const link = all.linkOf[strands[i]!]!;
    let end = i;
    while (end < strands.length && end - i < perRow && all.linkOf[strands[end]!] === link) ++end;
    const row = { link, strands: strands.subarray(i, end), columns: columns[link]!, y };
    rows.push(row);
    y += heightOf(row, cell);
    i = end;
  }
  return { cell, perRow, rows, height: y };
}
export const heightOf = (row: Row, cell: number): number => Math.max(row.columns.length * cell, 14) + Math.max(4, cell / 3);

/** Index of the row at a height; the last one below the end. */
export function rowAt(layout: Layout, y: number): number {
  let low = 0;
  let high = layout.rows.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (layout.rows[middle]!.y <= y) low = middle; else high = middle - 1;
  }
  return low;
}
/** Where a strand of the filtered list stands. */
export function rowOf(layout: Layout, at: number): { row: number; place: number } {
  let before = 0;
  for (let row = 0; row < layout.rows.length; ++row) {
    const count = layout.rows[row]!.strands.length;
    if (at < before + count) return { row, place: at - before };
    before += count;
  }
  return { row: 0, place: 0 };
}
/** Strands that are in sight, at most `many`: what the table beside the map tells. */
export function strandsInView(layout: Layout, top: number, height: number, many: number): number[] {
  const strands: number[] = [];
  for (let r = rowAt(layout, top); r < layout.rows.length && strands.length < many; ++r) {
    const row = layout.rows[r]!;
    if (row.y > top + height) break;
    strands.push(...row.strands.subarray(0, many - strands.length));
  }
  return strands;
}
