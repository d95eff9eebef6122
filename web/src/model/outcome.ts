// Outcomes as the screens tell them apart: word, shape and place, never colour alone.
import type { components } from "../api/types.gen";

export type Schemas = components["schemas"];
export type Outcome = Schemas["Outcome"];
export type Test = Schemas["Test"];

export const outcomes: readonly Outcome[] = ["pass", "conditional pass", "conditional fail", "fail", "not tested", "invalid"];
/** Letters of the map, in the order of `outcomes`; the code of an outcome is its place here. */
export const letters = "PCDFNX";

/** The same shapes as in the report: full, half, empty; square where it fails. */
export const shapes: Record<Outcome, string> = {
  "pass": "●", "conditional pass": "◐", "conditional fail": "◧", "fail": "■", "not tested": "○", "invalid": "◇",
};
export const key = (outcome: Outcome): string => outcome.replace(" ", "-");
export const ofLetter = (letter: string): Outcome | null => outcomes[letters.indexOf(letter)] ?? null;

/** Open colour sequence of TIA-598 for strands 1 to 12; 13 to 24 bear a tracer. */
const sequence = ["blue", "orange", "green", "brown", "slate", "white", "red", "black", "yellow", "violet", "rose", "aqua"];
export interface Chip { colour: string; tracer: boolean }
export function chipOf(strand: string): Chip | null {
  const number = Number(/(\d+)\D*$/.exec(strand)?.[1] ?? 0);
  const colour = sequence[(number - 1) % 12];
  return number >= 1 && number <= 24 && colour ? { colour, tracer: number > 12 } : null;
}
