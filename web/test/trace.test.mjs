// The picture of traces: nothing of a peak is lost, and what was taken from B runs from A.
import assert from "node:assert/strict";
import { mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import { pathToFileURL } from "node:url";
import { build } from "esbuild";

globalThis.localStorage = { getItem: () => null, setItem: () => undefined };
const outfile = join(mkdtempSync(join(tmpdir(), "strandbook-trace-")), "trace.mjs");
await build({ entryPoints: [new URL("../src/model/trace.ts", import.meta.url).pathname], bundle: true, format: "esm", outfile });
const { curveOf, lineOf, ticksOf, zoomed, placeOf, eventAt, wholeSight } = await import(pathToFileURL(outfile));

const samples = (n, level) => Float32Array.from({ length: n }, (_, k) => level(k));

test("one sample out of a hundred thousand is still seen", () => {
  const levels = samples(100000, (k) => (k === 61803 ? 9 : k === 40000 ? -40 : -k / 10000));
  const curve = curveOf({ first_m: 0, step_m: 1 }, levels);
  const line = lineOf(curve, { from: 0, to: 100000, low: -20, high: 20 }, 800, 400);
  assert.ok(line.length <= 4 * 800, `${line.length / 2} corners`);
  const ys = line.filter((_, i) => i % 2 === 1);
  const y = (level) => 400 * (20 - (level - curve.top)) / 40;
  assert.ok(Math.abs(Math.min(...ys) - y(9)) < 1e-2);
  assert.ok(Math.abs(Math.max(...ys) - y(-40)) < 1e-2);
});

test("whole blocks and single samples give the extremes that all samples give", () => {
  let dice = 7;
  const levels = samples(5000, () => { dice = (dice * 16807) % 2147483647; return (dice % 1000) / 100 - 5; });
  const curve = curveOf({ first_m: 0, step_m: 1 }, levels);
  const sight = { from: 37, to: 4711, low: -10, high: 10 };
  const ys = [...lineOf(curve, sight, 100, 400)].filter((_, i) => i % 2 === 1);
  const seen = [...levels.slice(37, 4712)];
  const y = (level) => 400 * (10 - (level - curve.top)) / 20;
  assert.ok(Math.abs(Math.min(...ys) - y(Math.max(...seen))) < 1e-2);
  assert.ok(Math.abs(Math.max(...ys) - y(Math.min(...seen))) < 1e-2);
});

test("a trace from B is turned round: its first sample stands at the far end", () => {
  const curve = curveOf({ first_m: 1000, step_m: -2 }, samples(501, (k) => -k));
  assert.equal(curve.first, 0);
  assert.equal(curve.step, 2);
  assert.equal(curve.levels[500], -0);
  assert.equal(curve.levels[0], -500);
});

test("coming nearer keeps the place under the pointer", () => {
  const sight = wholeSight(1000, null);
  const near = zoomed(sight, 400, 0.25);
  assert.ok(Math.abs((400 - near.from) / (near.to - near.from) - (400 - sight.from) / (sight.to - sight.from)) < 1e-12);
  assert.ok(Math.abs(placeOf(near, 0, 800) - near.from) < 1e-9);
});

test("the scale is round in metres and in feet", () => {
  assert.deepEqual(ticksOf(0, 1000, 900, 90), [0, 100, 200, 300, 400, 500, 600, 700, 800, 900, 1000]);
  for (const tick of ticksOf(-20, 300, 700, 90, 0.3048)) assert.ok(Math.abs(Math.round(tick / 0.3048 / 50) * 50 - tick / 0.3048) < 1e-6, tick);
});

test("the nearest mark within reach is meant", () => {
  const sight = { from: 0, to: 1000, low: 0, high: 1 };
  const events = [{ position_m: 100 }, { position_m: 130 }, { position_m: 900 }];
  assert.equal(eventAt(events, sight, 112, 1000, 22), 0);
  assert.equal(eventAt(events, sight, 121, 1000, 22), 1);
  assert.equal(eventAt(events, sight, 500, 1000, 22), -1);
});
