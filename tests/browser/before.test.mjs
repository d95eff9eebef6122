// Before the job: links worst first with their pictures, what to mend, and what other connections or crews would change.
import assert from "node:assert/strict";
import { rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { device, german, launch, Served, show, text, until } from "./ground.mjs";

let served, browser;
const job = "plan";
before(async () => {
  served = await Served.begin();
  const rows = ["link,strand,fibre,length_m,connections,splices,reference_method,cord_grade,wavelengths,directions,limit_db"];
  for (const [link, metres, limit] of [["easy", 400, ""], ["middle", 2000, ""], ["tight", 2000, "1.05"], ["doubtful", 2000, "1.75"]])
    for (let strand = 1; strand <= 4; ++strand) rows.push([link, strand, "OS2", metres, 4, 2, "one-cord", "reference", "1310 1550", "both", limit].join(","));
  rows.push("unknown,1,OS2,,2,0,one-cord,reference,1310,either,");
  const file = join(served.folder, "plan.csv");
  writeFileSync(file, rows.join("\n"));
  served.run("book", "create", "plan.book", "--name", "Plan");
  served.run("book", "add", "plan.book", "--schedule", file);
  rmSync(file);
  served.run("book", "rule", "plan.book", "--rule", "iso-14763-3-2024", "--person", "R.", "--reason", "test");
  await until(async () => (await served.ask("/jobs")).some((each) => each.id === job), "the job is listed");
  browser = await launch();
});
after(async () => {
  await browser?.close();
  await served?.end();
});

const links = (page) => page.locator("table.before > tbody > tr > td:first-child summary").allInnerTexts();

test("worst links first, each against its limit, with what would mend it", async () => {
  const page = await device(browser, served);
  await show(page, served, job, "before");
  await page.locator("table.before tbody tr").first().waitFor();
  assert.deepEqual((await links(page)).slice(0, 3), ["unknown", "tight", "doubtful"]);
  const warnings = page.locator("article.card");
  assert.equal(await warnings.count(), 2);
  assert.match(await warnings.first().innerText(), /✕ tight at 1310 nm: the limit of 1\.05 dB is below the loss to be expected/);
  assert.match(await warnings.first().innerText(), /A limit of \d\.\d\d dB in place of 1\.05 dB/);
  assert.equal(await page.locator("svg.hump").count(), 4);  // the unknown one has none
  const tight = page.locator("table.before > tbody > tr").nth(1);
  assert.notEqual(await tight.locator("path.beyond").getAttribute("d"), "");
  assert.ok(await tight.locator(".chance.fail").isVisible());
  await tight.locator("summary").click();
  await tight.getByRole("cell", { name: text("term.end-connections") }).waitFor();
  assert.deepEqual(page.wrongs, []);
  await page.context().close();
});

test("better connections and more crews change the answer", async () => {
  const page = await device(browser, served);
  await show(page, served, job, "before");
  const chance = async () => Number.parseFloat((await page.locator("table.before > tbody > tr", { hasText: "doubtful" }).locator(".chance").innerText()).replace(/[^\d.]/g, ""));
  await page.locator("table.before tbody tr").first().waitFor();
  const usual = await chance();
  await page.getByLabel(text("before.grade")).selectOption("B");
  await until(async () => (await chance()) > usual, "grade B raises the chance");
  await page.getByLabel(text("before.crews")).selectOption("3");
  await page.getByText(text("before.plan")).click();
  await page.getByText(/Crew 3/).waitFor();
  assert.deepEqual(page.wrongs, []);
  await page.context().close();
});

test("in German", async () => {
  const page = await device(browser, served, { locale: "de-DE" });
  await show(page, served, job, "before");
  await page.getByRole("heading", { name: text("before", {}, german) }).waitFor();
  await page.getByText(/der Grenzwert von 1[.,]05 dB liegt unter der zu erwartenden Dämpfung/).waitFor();
  await page.context().close();
});
