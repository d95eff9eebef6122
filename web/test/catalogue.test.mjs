// Catalogue and pure functions. They are bundled first: Node knows no TypeScript.
import assert from "node:assert/strict";
import { mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import { pathToFileURL } from "node:url";
import { build } from "esbuild";

globalThis.localStorage = { getItem: () => null, setItem: () => undefined };
if (!globalThis.navigator) globalThis.navigator = { language: "en" };
const folder = mkdtempSync(join(tmpdir(), "strandbook-web-"));
async function load(name) {
  const outfile = join(folder, name.replace(/\W/g, "_") + ".mjs");
  await build({ entryPoints: [new URL(`../src/${name}.ts`, import.meta.url).pathname], bundle: true, format: "esm", outfile });
  return import(pathToFileURL(outfile));
}

test("both languages say everything, with the same places to fill", async () => {
  const { english } = await load("model/texts.en");
  const { german } = await load("model/texts.de");
  assert.deepEqual(Object.keys(german).sort(), Object.keys(english).sort());
  for (const [key, words] of Object.entries(english)) {
    const places = (text) => (text.match(/\{\w+\}/g) ?? []).sort();
    assert.deepEqual(places(german[key]), places(words), key);
    assert.ok(german[key].length > 0, key);
  }
});

test("typed numbers take either decimal sign and nothing else", async () => {
  const { typed } = await load("model/format");
  for (const [text, value] of [["-12.34", -12.34], ["-12,34", -12.34], ["0.", 0], [".5", 0.5], ["\u22123", -3]]) assert.equal(typed(text), value);
  for (const text of ["", "-", ".", "1.2.3", "1e3", "12a"]) assert.equal(typed(text), null, text);
});

// SOURCE: TIA-598 colour sequence of strands and tubes, 1 blue to 12 aqua; 13 to 24 repeat it with a tracer.
test("a strand's colour follows the open sequence", async () => {
  const { chipOf } = await load("model/outcome");
  assert.deepEqual(chipOf("01"), { colour: "blue", tracer: false });
  assert.deepEqual(chipOf("F12"), { colour: "aqua", tracer: false });
  assert.deepEqual(chipOf("13"), { colour: "blue", tracer: true });
  assert.equal(chipOf("25"), null);
  assert.equal(chipOf("x"), null);
});

const map = { revision: 1, links: [{ link: "A", building: "N", cable: "", end_a: "", end_b: "" }, { link: "B", building: "S", cable: "", end_a: "", end_b: "" }],
  runs: [[0, 2], [1, 2]], strands: ["01", "02", "01", "02"], columns: [{ wavelength_nm: 850, direction: null }, { wavelength_nm: 1300, direction: null }],
  cells: ["PNFN", "NN.N"], people: ["K."], people_of: [0, -1, 0, -1] };

test("the next due test walks the panel, one strand or one wavelength at a time", async () => {
  const { dense, nextDue, markSent } = await load("model/map");
  const all = dense(map);
  const walk = (byWavelength, link) => {
    const seen = [];
    let due = null;
    for (let i = 0; i < 5; ++i) {
      due = nextDue(all, due, byWavelength, link);
      seen.push(due && `${due.strand}/${due.column}`);
    }
    return seen;
  };
  assert.deepEqual(walk(false, null), ["0/1", "1/0", "1/1", "3/0", "3/1"]);
  assert.deepEqual(walk(true, null), ["1/0", "0/1", "1/1", "3/0", "3/1"]);
  assert.deepEqual(walk(false, 1), ["3/0", "3/1", "3/0", "3/1", "3/0"]);
  markSent(all, { strand: 0, column: 1 });
  assert.deepEqual(nextDue(all, null, false, null), { strand: 1, column: 0 });
});

test("the map's filter keeps the order of the schedule", async () => {
  const { dense, shown, noFilter, put } = await load("model/map");
  const all = dense(map);
  assert.deepEqual([...shown(all, noFilter)], [0, 1, 2, 3]);
  assert.deepEqual([...shown(all, { ...noFilter, building: "S" })], [2, 3]);
  assert.deepEqual([...shown(all, { ...noFilter, person: "K." })], [0, 2]);
  assert.deepEqual([...shown(all, { ...noFilter, outcome: "F" })], [2]);
  put(all, 3, "FP");
  assert.deepEqual([...shown(all, { ...noFilter, outcome: "F" })], [2, 3]);
  assert.deepEqual([...shown(all, { ...noFilter, text: "b" })], [2, 3]);
});

test("length and loss stand in the box that the table allows", async () => {
  const { reachOf } = await load("model/carries");
  const line = (what, found, allowed) => ({ what, found, allowed });
  const inside = reachOf({ working: [line("length", 50, 100), line("loss", 1, 2)] });
  assert.ok(inside.point.x < inside.box.x && inside.point.y < inside.box.y);
  const beyond = reachOf({ working: [line("length", 150, 100), line("loss", 1, 2)] });
  assert.ok(beyond.point.x > beyond.box.x && beyond.point.x <= 1);
  assert.equal(reachOf({ working: [line("length", 150, null), line("loss", 1, 2)] }), null);
});

const packed = () => ({
  strands: [["L1", "1", "C", "R1", "R2", "", "OM4", 90], ["L1", "2", "C", "R1", "R2", "", "OM4", 90], ["L2", "1", "C", "R1", "R3", "North", "OM4", null]],
  limits: [{ db: 1.8, working: [], rests_on_memory: false, notes: [] }],
  tests: [
    [0, 850, 0, 0.5, 0.2, 0, 1, 0, 0, 0, 2, "", -1, 0], [0, 850, 1, 2.0, 0.2, 0, 0, 3, 0, 0, 3, "", -1, 1],
    [1, 850, 0, 1.7, 0.2, 0, 0.8, 1, 0, 0, 4, "2026-11-20T09:00:00Z", 0, 0], [2, 850, -1, null, null, 0, 0, 4, 1, -1, 0, "", -1, 0]],
  why: ["", "No reading was taken. Take it."], people: ["K."], files: [{ name: "day.csv", sheet: null, path: "originals/001-day.csv" }],
});

test("a package's lines bear the worst of their tests, and are found and sorted by it", async () => {
  const { linesOf, wanted, testOf, originOf } = await load("model/package");
  const data = packed();
  const lines = linesOf(data);
  assert.deepEqual(lines.map((line) => [line.first, line.end, line.worst]), [[0, 2, 3], [2, 3, 1], [3, 4, 4]]);
  assert.ok(Math.abs(lines[0].margin + 0.2) < 1e-9);
  assert.deepEqual(wanted(lines, { find: "", outcome: "", order: "worst" }).map((line) => line.strand), [0, 2, 1]);
  assert.deepEqual(wanted(lines, { find: "", outcome: "", order: "margin" }).map((line) => line.strand), [0, 1, 2]);
  assert.deepEqual(wanted(lines, { find: "north l2", outcome: "", order: "schedule" }).map((line) => line.strand), [2]);
  assert.deepEqual(wanted(lines, { find: "", outcome: "fail", order: "schedule" }).map((line) => line.strand), [0]);
  const open = testOf(data, 3);
  assert.deepEqual([open.outcome, open.direction, open.loss_db, open.conformance_probability, open.reason],
                   ["not tested", null, null, null, "No reading was taken. Take it."]);
  assert.deepEqual(originOf(data, 2), { file: "day.csv", path: "originals/001-day.csv", row: 4, time: "2026-11-20T09:00:00Z", person: "K.", others: 0 });
  assert.equal(originOf(data, 3), null);
});
