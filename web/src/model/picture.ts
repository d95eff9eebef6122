// The picture of a finding that brings its own: points, those concerned marked, levels drawn across.
import type { Schemas } from "./outcome";

type Data = NonNullable<Schemas["Finding"]["picture"]>;
export interface Spot { x: number; y: number; marked: boolean }
export interface Stroke { x1: number; x2: number; y: number }
export interface Drawn { spots: Spot[]; strokes: Stroke[]; low: number; high: number; left: number; right: number; zero: number | null; even: Stroke2 | null }
/** The line of equal losses in a picture of pairs. */
export interface Stroke2 { x1: number; y1: number; x2: number; y2: number }

/** Places in a picture of the given size; y grows downwards. Null where there are fewer than two points. */
export function drawn(picture: Data, width: number, height: number): Drawn | null {
  if (picture.points.length < 2) return null;
  const xs = picture.points.map((point) => point.x);
  const ys = [...picture.points.map((point) => point.y), ...picture.levels.map((level) => level.y)];
  const pairs = picture.kind === "pairs";
  // Both axes of pairs have one scale, so that the line of equal losses stands at 45 degrees.
  const [left, right] = range(pairs ? [...xs, ...ys] : xs);
  const [low, high] = pairs ? [left, right] : range(ys);
  const atX = (value: number) => ((value - left) / (right - left)) * width;
  const atY = (value: number) => height - ((value - low) / (high - low)) * height;
  return {
    spots: picture.points.map((point) => ({ x: atX(point.x), y: atY(point.y), marked: point.marked })),
    strokes: picture.levels.map((level) => ({ x1: atX(level.from), x2: atX(level.to), y: atY(level.y) })),
    low, high, left, right,
    zero: !pairs && low < 0 && high > 0 ? atY(0) : null,
    even: pairs ? { x1: 0, y1: height, x2: width, y2: 0 } : null,
  };
}

function range(values: number[]): [number, number] {
  const low = Math.min(...values);
  const high = Math.max(...values);
  const room = (high - low) * 0.06 || 0.1;
  return [low - room, high + room];
}
