// Old and new margin of a test on one axis with the limit, which all rows of a comparison share.
import type { Schemas } from "./outcome";

export interface MarginLine { limit: number; before: number; after: number }

/** Places along `width`; null where a side has no margin. */
export function marginLine(row: Schemas["ComparedTest"], all: Schemas["Comparison"], width: number): MarginLine | null {
  if (row.before.margin_db === undefined || row.after.margin_db === undefined) return null;
  const edge = 5;
  const span = Math.max(all.most_margin_db - all.least_margin_db, 1e-9);
  const x = (margin: number) => edge + ((margin - all.least_margin_db) / span) * (width - 2 * edge);
  return { limit: x(0), before: x(row.before.margin_db), after: x(row.after.margin_db) };
}
