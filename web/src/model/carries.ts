// What links will carry, as the screens show it: word and shape, and the box of what the table allows.
import type { Schemas } from "./outcome";

export type Answer = Schemas["ApplicationAnswer"];
export type Carries = Answer["carries"];
export const carriesOrder: readonly Carries[] = ["supported", "supported only with", "cannot say", "not supported"];
export const carriesShapes: Record<Carries, string> = { "supported": "●", "supported only with": "◐", "cannot say": "○", "not supported": "■" };
export const carriesKey = (carries: Carries): string => carries.replace(/ /g, "-");

/** Length across, loss upward: the box that the table allows and the point of the link, within 0 and 1 of the picture. */
export interface Reach { box: { x: number; y: number }; point: { x: number; y: number } | null; metres: number; decibels: number }
export function reachOf(answer: Answer): Reach | null {
  const line = (what: string) => answer.working.find((each) => each.what === what);
  const length = line("length");
  const loss = line("loss");
  if (length?.allowed == null || loss?.allowed == null) return null;
  const metres = Math.max(length.allowed, length.found ?? 0) * 1.25;
  const decibels = Math.max(loss.allowed, loss.found ?? 0) * 1.25;
  return {
    box: { x: length.allowed / metres, y: loss.allowed / decibels },
    point: length.found == null || loss.found == null ? null : { x: length.found / metres, y: loss.found / decibels },
    metres: length.allowed, decibels: loss.allowed,
  };
}
