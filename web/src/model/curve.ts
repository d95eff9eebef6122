// Penalties and fibre against length, drawn below the budget: where the sum leaves it, the reach ends.
import type { Schemas } from "./outcome";

type Link = Schemas["EngineeredLink"];
export interface Curve { taken: string; fibre: string; budget: number; here: { x: number; y: number | null }; reach: number | null; longest: number; most: number }

/** Within `width` by `height`, y downward. What is closed is off the picture. */
export function curveOf(link: Link, width: number, height: number): Curve {
  const longest = link.curve[link.curve.length - 1]?.length_m ?? link.length_m;
  const most = link.budget_db * 1.35;
  const x = (metres: number) => (metres / longest) * width;
  const y = (decibels: number) => height - (Math.min(decibels, most) / most) * height;
  const path = (value: (point: Link["curve"][number]) => number) =>
    link.curve.map((point, i) => `${i ? "L" : "M"}${x(point.length_m).toFixed(1)} ${y(value(point)).toFixed(1)}`).join("");
  const used = link.margin_db === null ? null : link.budget_db - link.margin_db;
  return {
    taken: path((point) => (point.penalties_db === null ? most : link.connections_db + point.fibre_db + point.penalties_db)),
    fibre: path((point) => link.connections_db + point.fibre_db),
    budget: y(link.budget_db),
    here: { x: x(link.length_m), y: used === null ? null : y(used) },
    reach: link.reach_m === null ? null : x(link.reach_m),
    longest, most,
  };
}
