// A predicted loss as a hump on the axis of its limit: what stands beyond the limit will not be accepted.
import type { Schemas } from "./outcome";

type Design = Schemas["DesignPrediction"];
export interface Hump { whole: string; beyond: string; limit: number; expected: number; most: number }

/** Within `width` by `height`, y downward; the axis begins at 0 dB. Null where nothing could be predicted. */
export function humpOf(design: Design, width: number, height: number): Hump | null {
  const limit = design.accepted_up_to_db;
  if (limit === undefined || design.expected_db === undefined || design.curve.length < 2) return null;
  const last = design.curve[design.curve.length - 1]!.loss_db;
  const most = Math.max(limit, last) * 1.06;
  const x = (loss: number) => (Math.max(0, loss) / most) * width;
  const y = (density: number) => height - density * height;
  const area = (points: Design["curve"]) =>
    points.length < 2 ? "" : `M${x(points[0]!.loss_db).toFixed(1)} ${height}${points.map((point) => `L${x(point.loss_db).toFixed(1)} ${y(point.density).toFixed(1)}`).join("")}L${x(points[points.length - 1]!.loss_db).toFixed(1)} ${height}Z`;
  const at = design.curve.findIndex((point) => point.loss_db >= limit);
  const cut = at <= 0 ? null : between(design.curve[at - 1]!, design.curve[at]!, limit);
  const beyond = at < 0 ? [] : [...(cut ? [cut] : []), ...design.curve.slice(at)];
  return { whole: area(design.curve), beyond: area(beyond), limit: x(limit), expected: x(design.expected_db), most };
}

function between(a: Design["curve"][number], b: Design["curve"][number], loss: number): Design["curve"][number] {
  const share = (loss - a.loss_db) / (b.loss_db - a.loss_db);
  return { loss_db: loss, density: a.density + share * (b.density - a.density) };
}
