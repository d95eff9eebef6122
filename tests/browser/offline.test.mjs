// The service goes away while a person types, and comes back: nothing is lost, nothing is doubled, the order holds.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { around, device, key, launch, readyJob, Served, show, summaryOf, text, until } from "./ground.mjs";

let served, browser, page, job;
before(async () => {
  served = await Served.begin();
  job = await readyJob(served, { links: 1, strands: 24, wavelengths: [1310] });
  browser = await launch();
  page = await device(browser, served);
  await show(page, served, job, "reading");
  await page.locator(".due h2").waitFor();
  // The service worker has to be in charge before the plug is pulled.
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
  await page.reload();
  await page.locator(".due h2").waitFor();
});
after(async () => {
  await browser?.close();
  await served?.end();
});
const waitingCount = () => page.evaluate(() => new Promise((done) => {
  const open = indexedDB.open("strandbook");
  open.onsuccess = () => {
    const database = open.result;
    const all = [...database.objectStoreNames].map((name) => database.transaction(name).objectStore(name).getAll());
    let left = all.length, found = 0;
    for (const each of all) each.onsuccess = () => { found += each.result.filter((one) => one.fate ? one.fate === "waiting" : !one.refused).length; if (--left === 0) { database.close(); done(found); } };
  };
}));
async function type(digits) {
  const before = await page.locator(".due h2").innerText();
  await key(page, `${digits}\n`);
  await until(async () => (await page.locator(".due").count()) === 0 || (await page.locator(".due h2").innerText()) !== before, `the strand after ${before}`);
}
const losses = async () => (await served.ask(`/jobs/${job}/readings?limit=100`)).readings.reverse().map((each) => each.power_dbm);

test("readings typed while the service is away wait here, counted in sight", async () => {
  for (const level of ["-5.51", "-5.52", "-5.53"]) await type(level);
  await until(async () => (await losses()).length === 3, "three are in the book");
  await served.kill();
  for (const level of ["-5.54", "-5.55", "-5.56", "-5.57"]) await type(level);
  await page.getByText(text("waiting", { n: 4 })).waitFor();
  assert.equal(await waitingCount(), 4);
});

test("a closed and reopened window still has them, and the list of what is due", async () => {
  await page.reload();
  await page.getByText(text("waiting", { n: 4 })).waitFor();
  await page.locator(".due h2").waitFor();
});

test("when the service is back they go by themselves: once each, in the order of typing", async () => {
  await served.start();
  await until(async () => (await losses()).length >= 7, "seven are in the book", 30);
  assert.deepEqual(await losses(), [-5.51, -5.52, -5.53, -5.54, -5.55, -5.56, -5.57]);
  await until(async () => (await waitingCount()) === 0, "nothing waits");
  assert.equal(await page.getByText(around("waiting")).count(), 0);
  assert.equal((await summaryOf(served, job)).pass, 7);
});

test("killed in the middle of fast typing, thrice: every reading is there exactly once", async () => {
  await show(page, served, job, "reading");
  await page.locator(".due h2").waitFor();
  const levels = Array.from({ length: 12 }, (_, i) => -5.6 - i / 100);
  for (let i = 0; i < levels.length; ++i) {
    const kill = i % 4 === 2 ? served.kill() : null;
    await type(levels[i].toFixed(2));
    if (kill) { await kill; await served.start(); }
  }
  await until(async () => (await losses()).length >= 19, "all are in the book", 30);
  await until(async () => (await waitingCount()) === 0, "nothing waits", 15);
  const got = (await losses()).slice(7);
  assert.deepEqual([...got].sort((a, b) => b - a), levels.map((level) => Number(level.toFixed(2))));
  assert.deepEqual(got, levels.map((level) => Number(level.toFixed(2))), "in the order of typing");
});

test("a refused reading stays in sight with the reason", async () => {
  await show(page, served, job, "reading");
  await page.locator(".due h2").waitFor();
  await served.kill();
  await key(page, "-5.9\n");
  await page.getByText(text("waiting.one")).waitFor();
  // Meanwhile somebody takes the book away.
  const { renameSync } = await import("node:fs");
  const book = `${served.folder}/${job}.book`;
  for (const end of ["", "-wal", "-shm"]) { try { renameSync(book + end, `${book}.away${end}`); } catch { /* not every book has them */ } }
  await served.start();
  await page.locator(".wrong").filter({ hasText: "L-01" }).waitFor({ timeout: 15000 });
  assert.equal(page.wrongs.length, 0, page.wrongs.join("\n"));
});
