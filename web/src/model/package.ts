// A package's data as the page holds it: lists of numbers, turned into tests only where one is looked at.
import { outcomes, type Outcome, type Schemas, type Test } from "./outcome";

type StrandRow = [link: string, strand: string, cable: string, endA: string, endB: string, building: string, fibre: string, length: number | null];
type TestRow = [strand: number, nm: number, direction: number, loss: number | null, u2: number | null, limit: number, probability: number,
  outcome: number, reason: number, file: number, row: number, time: string, person: number, others: number];
type Term = Schemas["Term"];
interface LimitData { db: number; working: Term[]; rests_on_memory: boolean; notes: string[] }
export interface FindingData { id: string; kind: string; weight: string; summary: string; advice: string; caution: string | null; tests: number[]; acknowledged: string | null }
export type TraceData = Omit<Schemas["JudgedTraces"], "traces"> & { row: number; files: { name: string; direction: string; path: string | null }[] };
export interface PackageData {
  language: "en" | "de"; feet: boolean;
  job: string; title: string; site: string; client: string; contractor: string; made: string; program: string; guarded: boolean; profile: string | null;
  summary: Schemas["Summary"]; rules: { id: string; title: string }[]; strands: StrandRow[]; limits: LimitData[]; tests: TestRow[];
  why: string[]; people: string[]; files: { name: string; sheet: string | null; path: string | null }[];
  traces: TraceData[]; findings: FindingData[]; preflight: { may_leave: boolean; items: Schemas["PreflightItem"][] };
}

/** One line of the list: a strand with the worst of its tests. */
export interface Line { strand: number; first: number; end: number; worst: number; margin: number; text: string }

/** From best to worst, as the program ranks them. */
const ranks: readonly Outcome[] = ["pass", "conditional pass", "conditional fail", "not tested", "invalid", "fail"];
const rank = outcomes.map((outcome) => ranks.indexOf(outcome));

export function linesOf(data: PackageData): Line[] {
  const lines: Line[] = data.strands.map((row, strand) => ({
    strand, first: 0, end: 0, worst: -1, margin: Infinity, text: [row[0], row[1], row[2], row[3], row[4], row[5]].join(" ").toLowerCase() }));
  data.tests.forEach((test, at) => {
    const line = lines[test[0]]!;
    if (line.end === 0) line.first = at;
    line.end = at + 1;
    if (line.worst < 0 || rank[test[7]]! > rank[line.worst]!) line.worst = test[7];
    const limit = data.limits[test[5]];
    if (limit && test[3] !== null) line.margin = Math.min(line.margin, limit.db - test[3]);
  });
  return lines;
}

export type Order = "schedule" | "worst" | "margin";
export interface Wish { find: string; outcome: string; order: Order }

/** The lines that are wanted, in the order that is wanted; every word must be found. */
export function wanted(lines: Line[], wish: Wish): Line[] {
  const words = wish.find.toLowerCase().split(/\s+/).filter((word) => word !== "");
  const code = outcomes.indexOf(wish.outcome as Outcome);
  const kept = lines.filter((line) => (code < 0 || line.worst === code) && words.every((word) => line.text.includes(word)));
  if (wish.order === "worst") kept.sort((a, b) => (rank[b.worst] ?? -1) - (rank[a.worst] ?? -1) || a.margin - b.margin || a.strand - b.strand);
  if (wish.order === "margin") kept.sort((a, b) => a.margin - b.margin || a.strand - b.strand);
  return kept;
}

export interface Origin { file: string; path: string | null; row: number; time: string; person: string; others: number }
export function originOf(data: PackageData, at: number): Origin | null {
  const test = data.tests[at]!;
  const file = data.files[test[9]];
  if (!file) return null;
  return { file: file.name, path: file.path, row: test[10], time: test[11], person: data.people[test[12]] ?? "", others: test[13] };
}

export function testOf(data: PackageData, at: number): Test {
  const [strand, nm, direction, loss, u2, limitAt, probability, outcome, reason] = data.tests[at]!;
  const limit = data.limits[limitAt];
  const name = outcomes[outcome]!;
  const judged = name !== "not tested" && name !== "invalid";
  const row = data.strands[strand]!;
  return {
    link: row[0], strand: row[1], wavelength_nm: nm > 0 ? nm : null, direction: direction < 0 ? null : direction === 0 ? "AB" : "BA",
    loss_db: loss, uncertainty_db: u2 === null ? null : u2 / 2, expanded_uncertainty_db: u2, limit_db: limit?.db ?? null,
    margin_db: limit && loss !== null ? limit.db - loss : null, conformance_probability: judged ? probability : null,
    outcome: name, reason: data.why[reason] || null, reason_code: null, working: limit?.working ?? [], rests_on_memory: limit?.rests_on_memory ?? false,
  } as unknown as Test;
}
