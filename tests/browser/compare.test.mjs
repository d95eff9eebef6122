// Before and after: an older recording is chosen from the disk, and what changed beyond uncertainty is shown.
import assert from "node:assert/strict";
import { mkdtempSync, readdirSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { axe, device, german, launch, moment, readyJob, Served, show, text, until } from "./ground.mjs";

let served, browser, job, scratch;
const strands = Array.from({ length: 12 }, (_, at) => String(at + 1).padStart(2, "0"));
const read = (strand, dbm, nm = 1310) => served.ask(`/jobs/${job}/readings`, "POST", { entry: crypto.randomUUID(), link: "L-01", strand, wavelength_nm: nm,
  direction: "AB", time: moment(0), operator: "R.", power_dbm: dbm });
before(async () => {
  served = await Served.begin();
  job = await readyJob(served, { links: 1, strands: 12 });
  for (const strand of strands) await read(strand, -6.1);
  scratch = mkdtempSync(join(tmpdir(), "strandbook-compare-"));
  served.run("handover", "--book", `${job}.book`, "--out", join(scratch, "old"));
  await read("05", -8.4);
  browser = await launch();
});
after(async () => {
  await browser?.close();
  await served?.end();
});
const choose = async (page, file) => page.locator("input[type=file]").setInputFiles(file);

for (const file of ["old.zip", "old/assessment.json"])
  test(`what changed since ${file} stands in words, figures and a picture`, async () => {
    const page = await device(browser, served);
    await show(page, served, job, "handover");
    await page.getByRole("link", { name: text("compare"), exact: true }).click();
    await choose(page, join(scratch, file));
    const row = page.locator("table.compared tbody tr");
    await row.first().waitFor({ timeout: 60000 });
    assert.equal(await row.count(), 1);
    const words = await row.innerText();
    assert.match(words, /L-01 05, 1310 nm/);
    assert.ok(words.includes(`▲ ${text("compare.more")}`), words);
    // SOURCE: the levels sent above: −5 less −6.1, −5 less −8.4 dBm.
    assert.match(words, /1\.10 → 3\.40/);
    assert.match(words, /2\.30 ± 0\.\d\d/);
    // The old margin lies right of the limit, the new one left of it.
    const at = async (part, name) => Number(await row.locator(`svg.margins ${part}`).getAttribute(name));
    const limit = await at(".limit", "x1");
    assert.ok((await at(".new", "cx")) < limit && limit < (await at(".old", "cx")));
    await page.evaluate(axe);
    const found = await page.evaluate(() => globalThis.axe.run().then((all) => all.violations.map((each) => `${each.id}: ${each.nodes[0].html}`)));
    assert.deepEqual(found, []);
    if (process.env.STRANDBOOK_PICTURES) await page.screenshot({ path: join(process.env.STRANDBOOK_PICTURES, "compare.png"), fullPage: true });
    assert.deepEqual(page.wrongs, []);
    await page.context().close();
  });

test("a file that is no recording is refused with what to choose, and nothing of it stays", async () => {
  const page = await device(browser, served, { locale: "de-DE" });
  await show(page, served, job, "compare");
  const wrong = join(scratch, "readings.csv");
  writeFileSync(wrong, "link,strand,loss\n");
  await choose(page, wrong);
  await page.getByText("weder ein Paket").waitFor();
  writeFileSync(join(scratch, "broken.zip"), "PK\x03\x04 cut off");
  await choose(page, join(scratch, "broken.zip"));
  await until(async () => (await page.getByText("weder ein Paket").count()) === 0 && (await page.locator("#content [role=status]").innerText()) !== "", "the broken package is refused");
  assert.ok(await page.getByRole("heading", { name: text("compare", {}, german) }).isVisible());
  assert.equal(await page.locator("table.compared").count(), 0);
  assert.deepEqual(readdirSync(tmpdir()).filter((name) => name.startsWith("strandbook-")).flatMap((name) => { try { return readdirSync(join(tmpdir(), name), { recursive: true }); } catch { return []; } }).filter((name) => String(name).endsWith("/sent")), []);
  await page.context().close();
});
