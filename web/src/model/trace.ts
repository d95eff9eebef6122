// Traces as a picture: where samples lie on the link's own axis, drawn by the least and greatest level of each column.
import type { Schemas } from "./outcome";

export type SeenEvent = Schemas["SeenEvent"];
export type HeldTrace = Schemas["HeldTrace"];
export type Judged = Schemas["JudgedTraces"];

/** What is seen of the axes: metres from A, decibels from the curve's own top. */
export interface Sight { from: number; to: number; low: number; high: number }
/** Samples in order of the axis; `step` is above 0. */
export interface Curve { first: number; step: number; levels: Float32Array; blocks: Float32Array; top: number }

const block = 64;

/** Turned round where the trace was taken from B, so that all curves run from A. */
export function curveOf(trace: { first_m: number; step_m: number }, samples: Float32Array): Curve {
  const turned = trace.step_m < 0;
  const levels = turned ? samples.slice().reverse() : samples;
  const step = Math.abs(trace.step_m);
  const blocks = new Float32Array(2 * Math.ceil(levels.length / block));
  for (let b = 0; b * block < levels.length; ++b) {
    let [low, high] = [Infinity, -Infinity];
    for (let k = b * block; k < Math.min(levels.length, (b + 1) * block); ++k) {
      low = Math.min(low, levels[k]!);
      high = Math.max(high, levels[k]!);
    }
    blocks[2 * b] = low;
    blocks[2 * b + 1] = high;
  }
  return { first: turned ? trace.first_m - step * (levels.length - 1) : trace.first_m, step, levels, blocks, top: topOf(levels) };
}

/** The level that one sample in ten lies above: near the fibre's beginning, peaks left out. */
function topOf(levels: Float32Array): number {
  const some = levels.filter((_, k) => k % Math.ceil(levels.length / 4096) === 0).sort();
  return some[Math.floor(some.length * 0.9)] ?? 0;
}

/** Least and greatest level of samples a to b, both counted, whole blocks at once. */
function extremes(curve: Curve, a: number, b: number): [number, number] {
  let [low, high] = [Infinity, -Infinity];
  for (let k = a; k <= b;) {
    if (k % block === 0 && k + block - 1 <= b) {
      low = Math.min(low, curve.blocks[2 * (k / block)]!);
      high = Math.max(high, curve.blocks[2 * (k / block) + 1]!);
      k += block;
    } else {
      low = Math.min(low, curve.levels[k]!);
      high = Math.max(high, curve.levels[k]!);
      ++k;
    }
  }
  return [low, high];
}

/** Corners of the line to draw, x and y in turn, within `width` by `height`: each sample where there is room, else
    both extremes of each column. Nothing of a peak is lost between columns. */
export function lineOf(curve: Curve, sight: Sight, width: number, height: number): Float32Array {
  const x = (k: number) => ((curve.first + k * curve.step - sight.from) / (sight.to - sight.from)) * width;
  const y = (level: number) => ((sight.high - (level - curve.top)) / (sight.high - sight.low)) * height;
  const last = curve.levels.length - 1;
  const a = Math.max(0, Math.floor((sight.from - curve.first) / curve.step));
  const b = Math.min(last, Math.ceil((sight.to - curve.first) / curve.step));
  const line: number[] = [];
  if (b < a) return new Float32Array();
  if (b - a <= 2 * width) {
    for (let k = a; k <= b; ++k) line.push(x(k), y(curve.levels[k]!));
    return new Float32Array(line);
  }
  const perColumn = (b - a + 1) / Math.ceil(width);
  for (let column = 0; column < Math.ceil(width); ++column) {
    const from = a + Math.floor(column * perColumn);
    const to = Math.min(b, a + Math.floor((column + 1) * perColumn) - 1);
    if (to < from) continue;
    const [low, high] = extremes(curve, from, to);
    const falls = curve.levels[from]! >= curve.levels[to]!;
    const at = x((from + to) / 2);
    line.push(at, y(falls ? high : low), at, y(falls ? low : high));
  }
  return new Float32Array(line);
}

/** All of a link, with a little before and behind it. What it loses fills the height, so that a splice can be seen: peaks go
    out of sight at the top. */
export function wholeSight(length: number, loss: number | null): Sight {
  const fall = Math.max(1, loss ?? length / 2000);
  return { from: -0.06 * length - 5, to: 1.08 * length + 5, low: -1.8 * fall, high: 0.8 * fall };
}
/** Nearer or farther about one place; never nearer than two metres, never farther than a thousand kilometres. */
export function zoomed(sight: Sight, about: number, by: number): Sight {
  const wide = Math.min(1e6, Math.max(2, (sight.to - sight.from) * by));
  const share = (about - sight.from) / (sight.to - sight.from);
  return { ...sight, from: about - share * wide, to: about + (1 - share) * wide };
}
export const moved = (sight: Sight, metres: number): Sight => ({ ...sight, from: sight.from + metres, to: sight.to + metres });
export const raised = (sight: Sight, decibels: number): Sight => ({ ...sight, low: sight.low + decibels, high: sight.high + decibels });
export const stretched = (sight: Sight, by: number): Sight => {
  const middle = (sight.low + sight.high) / 2;
  const half = Math.min(60, Math.max(0.05, ((sight.high - sight.low) / 2) * by));
  return { ...sight, low: middle - half, high: middle + half };
};
export const placeOf = (sight: Sight, x: number, width: number): number => sight.from + (x / width) * (sight.to - sight.from);
export const xOf = (sight: Sight, metres: number, width: number): number => ((metres - sight.from) / (sight.to - sight.from)) * width;

/** Round places for the scale, about one in each `apart` pixels; `unit` metres long is one of the unit shown. */
export function ticksOf(from: number, to: number, size: number, apart: number, unit = 1): number[] {
  const rough = ((to - from) / unit) * (apart / Math.max(1, size));
  const tens = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((n) => n * tens).find((each) => each >= rough) ?? rough;
  const ticks: number[] = [];
  for (let n = Math.ceil(from / unit / step); n * step <= to / unit; ++n) ticks.push(n * step * unit);
  return ticks;
}

/** The event whose mark is nearest to x, within `reach` pixels; -1 where none is. */
export function eventAt(events: { position_m: number }[], sight: Sight, x: number, width: number, reach: number): number {
  let best = -1;
  events.forEach((event, i) => {
    const off = Math.abs(xOf(sight, event.position_m, width) - x);
    if (off <= reach && (best < 0 || off < Math.abs(xOf(sight, events[best]!.position_m, width) - x))) best = i;
  });
  return best;
}

export const shapeOf = (kind: SeenEvent["kind"]): string =>
  ({ reflective: "▲", loss: "▼", gain: "△", bend: "∿", cluster: "◆", "end of fibre": "■", ghost: "◌" })[kind];
