// The budget bar's geometry: the same picture as in the printed report, in per cent of its width.
import type { Decibels } from "./format";
import type { Schemas, Test } from "./outcome";

type Term = Schemas["Term"];

export interface BudgetInput {
  loss_db?: number | null;
  expanded_uncertainty_db?: number | null;
  limit_db?: number | null;
  working: readonly Term[];
}
export interface Part { term: string; total: Decibels; left: number; width: number; away: boolean }
export interface Tick { left: number; value: Decibels; places: number }
export interface Budget {
  parts: Part[];
  ticks: Tick[];
  zero: number;
  limit: { left: number; value: Decibels } | null;
  loss: { left: number; width: number; end: number; value: Decibels } | null;
  whisker: { left: number; width: number; insideLeft: number; inside: number } | null;
}

const finite = (value: number | null | undefined): number => (value != null && Number.isFinite(value) ? value : 0);

export function step(range: number): number {
  const power = 10 ** Math.floor(Math.log10(range / 6));
  const lead = range / 6 / power;
  return power * (lead <= 1 ? 1 : lead <= 2 ? 2 : lead <= 5 ? 5 : 10);
}

function bounds(input: BudgetInput): { from: number; to: number } {
  const parts = input.working.reduce((sum, term) => sum + Math.max(0, finite(term.total_db)), 0);
  const loss = finite(input.loss_db);
  const spread = finite(input.expanded_uncertainty_db);
  const most = Math.max(0.1, parts, finite(input.limit_db), input.loss_db == null ? 0 : loss + spread);
  const least = Math.min(0, finite(input.limit_db), input.loss_db == null ? 0 : loss - spread);
  const room = (most - least) * 0.06;
  return { from: least < 0 ? least - room : 0, to: most + room };
}

function partsOf(working: readonly Term[], at: (db: number) => number): Part[] {
  const order = [...working.filter((term) => term.total_db >= 0), ...working.filter((term) => term.total_db < 0)];
  let sum = 0;
  return order.map((term) => {
    const next = sum + finite(term.total_db);
    const left = at(Math.min(sum, next));
    const part = { term: term.term, total: term.total_db, left, width: at(Math.max(sum, next)) - left, away: next < sum };
    sum = next;
    return part;
  }).filter((part) => part.width > 0.05);
}

export function budgetOf(input: BudgetInput | Test): Budget {
  const { from, to } = bounds(input);
  const at = (db: number): number => (100 * (Math.min(Math.max(db, from), to) - from)) / (to - from);
  const each = step(to - from);
  const places = Math.max(0, Math.ceil(-Math.log10(each) - 1e-9));
  const ticks: Tick[] = [];
  for (let i = Math.ceil(from / each - 1e-9); i * each <= to; ++i) ticks.push({ left: at(i * each), value: i * each, places });
  const loss = input.loss_db ?? null;
  const spread = finite(input.expanded_uncertainty_db);
  const zero = at(0);
  return {
    parts: partsOf(input.working, at), ticks, zero,
    limit: input.limit_db == null ? null : { left: at(input.limit_db), value: input.limit_db },
    loss: loss === null ? null
      : { left: Math.min(zero, at(loss)), width: Math.abs(at(loss) - zero), end: at(loss), value: loss },
    whisker: loss === null || spread <= 0 ? null
      : { left: at(loss - spread), width: at(loss + spread) - at(loss - spread),
          insideLeft: Math.max(zero, at(loss - spread)), inside: Math.max(0, at(loss) - Math.max(zero, at(loss - spread))) },
  };
}
