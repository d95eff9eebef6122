// Speed of the screens with 100,000 strands, in a real browser on this machine: node bench/browser.mjs [STRANDS]
// first: from opening the address to the first cells drawn. frame: the longest pause between two frames while scrolling,
// filtering and sizing. key: from the key's event to the outcome on the screen. The last line has the figures.
import { readdirSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { device, dist, launch, moment, Served, show, until } from "../tests/browser/ground.mjs";

const strands = Number(process.argv[2] ?? 100000);
const perLink = 48;
const served = await Served.begin();
const id = "large";

function book() {
  const schedule = ["link,strand,cable,building,end_a,end_b,fibre,length_m,connections,splices"];
  const readings = ["link,strand,wavelength_nm,direction,loss_db,time,operator"];
  for (let i = 0; i < strands; ++i) {
    const link = 1 + Math.floor(i / perLink), strand = String(1 + (i % perLink)).padStart(2, "0");
    schedule.push(`T${1 + Math.floor(link / 50)}-L${link},${strand},C${link},T${1 + Math.floor(link / 50)},P${link}:A,P${link}:B,OS2,400,2,2`);
    if (i % 10 > 5) continue;
    for (const nm of [1310, 1550]) for (const way of ["AB", "BA"])
      readings.push(`T${1 + Math.floor(link / 50)}-L${link},${strand},${nm},${way},${(0.6 + ((i * 7919) % 100) / 60).toFixed(2)},2026-05-01T08:00:00Z,${"KRT"[link % 3]}.`);
  }
  writeFileSync(join(served.folder, "schedule.csv"), schedule.join("\n"));
  writeFileSync(join(served.folder, "readings.csv"), readings.join("\n"));
  served.run("book", "create", `${id}.book`, "--name", "Large job");
  served.run("book", "add", `${id}.book`, "--schedule", "schedule.csv", "--readings", "readings.csv");
  served.run("book", "rule", `${id}.book`, "--rule", "iso-14763-3-2024", "--guard", "U", "--directions", "both", "--reference-method", "one-cord", "--person", "R.", "--reason", "bench");
}

/** In the page: when cells are first drawn, and the pauses between frames. */
function watch() {
  window.drawnAt = null;
  window.pauses = [];
  let before = performance.now();
  const look = () => {
    const now = performance.now();
    window.pauses.push(now - before);
    before = now;
    const canvas = window.drawnAt === null ? document.querySelector("canvas") : null;
    if (canvas?.width > 0 && canvas.height > 0) {
      const { data } = canvas.getContext("2d").getImageData(0, 0, canvas.width, Math.min(canvas.height, 120));
      if (data.some((value) => value !== 0)) window.drawnAt = now;
    }
    requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
}
async function worst(page, act) {
  await page.evaluate(() => { window.pauses.length = 0; });
  await act();
  const pauses = (await page.evaluate(() => window.pauses)).sort((a, b) => a - b);
  return { most: pauses.at(-1), late: pauses.filter((pause) => pause > 50).length, frames: pauses.length, middle: pauses[pauses.length >> 1] };
}
const told = (name, { most, late, frames, middle }) => console.log(`  ${name}: longest ${most.toFixed(0)} ms, median ${middle.toFixed(0)} ms, ${late} of ${frames} frames over 50 ms`);

book();
await until(async () => (await served.ask("/jobs")).length === 1, "the job is listed", 60);
const browser = await launch();
const page = await device(browser, served, { viewport: { width: 1440, height: 900 } });
await page.addInitScript(watch);
const firsts = [];
for (let round = 0; round < 4; ++round) {
  await page.goto("about:blank");
  await page.goto(`${served.at}/#/${id}/map`);
  await until(() => page.evaluate(() => window.drawnAt !== null), "cells are drawn", 60);
  firsts.push(await page.evaluate(() => window.drawnAt));
}
console.log(`  first cells drawn after ${firsts.map((each) => each.toFixed(0)).join(", ")} ms`);

const box = page.getByRole("application");
await box.hover();
const frames = {};
frames.scrolling = await worst(page, async () => { for (let i = 0; i < 60; ++i) { await page.mouse.wheel(0, i % 20 < 15 ? 700 : -300); await page.waitForTimeout(30); } });
const search = page.getByRole("searchbox");
frames.filtering = await worst(page, async () => { await search.pressSequentially("t1-l4", { delay: 120 }); for (let i = 0; i < 5; ++i) { await page.keyboard.press("Backspace"); await page.waitForTimeout(120); } });
const outcome = page.locator(".filters select").last();
frames.outcomes = await worst(page, async () => { for (const letter of ["F", "N", "P", ""]) { await outcome.selectOption(letter); await page.waitForTimeout(200); } });
await box.focus();
frames.sizes = await worst(page, async () => { for (const each of "-----+++++") { await page.keyboard.press(each); await page.waitForTimeout(120); } });
frames.cursor = await worst(page, async () => { for (let i = 0; i < 40; ++i) await page.keyboard.press(i % 8 === 7 ? "ArrowDown" : "ArrowRight"); });
for (const [name, figures] of Object.entries(frames)) told(name, figures);

for (const nm of [1310, 1550])
  await served.ask(`/jobs/${id}/references`, "POST", { entry: crypto.randomUUID(), kind: "opening", wavelength_nm: nm, power_dbm: -5, method: "one-cord", time: moment(-60), reference: "K-01" });
await show(page, served, id, "reading");
await page.locator(".due h2").waitFor();
await page.waitForTimeout(1500);
const keys = [], nexts = [];
for (let i = 0; i < 20; ++i) {
  await page.keyboard.press("-");
  await page.keyboard.press("6");
  await page.locator(".verdict .mark").waitFor();
  await page.waitForTimeout(100);
  await page.evaluate(() => {
    let from = 0, gone = false;
    window.took = null;
    addEventListener("keydown", () => { from = performance.now(); }, { once: true, capture: true });
    const seen = new MutationObserver(() => {
      const verdict = document.querySelector(".verdict .mark");
      if (from > 0 && !verdict) gone = true;
      if (gone && verdict) { seen.disconnect(); window.took = performance.now() - from; }
    });
    seen.observe(document.querySelector(".due"), { subtree: true, childList: true });
  });
  await page.keyboard.press(".");
  keys.push(await until(() => page.evaluate(() => window.took), "the outcome"));
  await page.waitForTimeout(60);
  const heading = await page.locator(".due").innerText();
  const started = Date.now();
  await page.keyboard.press("Enter");
  await until(async () => (await page.locator(".due").innerText()) !== heading, "the next strand");
  nexts.push(Date.now() - started);
  await page.waitForTimeout(150);
}
const sorted = (list) => [...list].sort((a, b) => a - b);
const at = (list, share) => sorted(list)[Math.min(list.length - 1, Math.floor(share * list.length))];
const packed = readdirSync(dist, { recursive: true }).filter((name) => String(name).endsWith(".gz")).reduce((sum, name) => sum + statSync(join(dist, String(name))).size, 0);
console.log(`  key to outcome: median ${at(keys, 0.5).toFixed(0)} ms, worst ${at(keys, 1).toFixed(0)} ms; Enter to the next strand: median ${at(nexts, 0.5)} ms, worst ${at(nexts, 1)} ms (with the test's own polling)`);
await browser.close();
await served.end();
const most = Math.max(...Object.values(frames).map((each) => each.most));
console.log(`browser strands=${strands} first_ms=${at(firsts, 0.5).toFixed(0)} longest_frame_ms=${most.toFixed(0)} key_ms=${at(keys, 0.5).toFixed(0)} key_worst_ms=${at(keys, 1).toFixed(0)} packed_kb=${(packed / 1000).toFixed(1)}`);
