// The picture of a finding: the losses concerned in the order they were taken, each with its limit.
import type { Schemas } from "./outcome";

type FindingTest = Schemas["FindingTest"];
export interface Dot { x: number; y: number; limit: number | null; test: FindingTest }
export interface Plot { dots: Dot[]; low: number; high: number; zero: number }

/** Places in a picture of the given size; y grows downwards. Null where fewer than two losses are known. */
export function plotOf(tests: FindingTest[], width: number, height: number): Plot | null {
  const known = tests.filter((test) => test.loss_db != null);
  if (known.length < 2) return null;
  const ordered = [...known].sort((a, b) => (a.time ?? "").localeCompare(b.time ?? ""));
  const values = ordered.flatMap((test) => [test.loss_db!, test.limit_db ?? test.loss_db!]);
  const low = Math.min(0, ...values);
  const high = Math.max(...values, low + 0.1);
  const y = (db: number) => height - ((db - low) / (high - low)) * height;
  const step = width / ordered.length;
  const dots = ordered.map((test, i) => ({ x: (i + 0.5) * step, y: y(test.loss_db!), limit: test.limit_db == null ? null : y(test.limit_db), test }));
  return { dots, low, high, zero: y(0) };
}
