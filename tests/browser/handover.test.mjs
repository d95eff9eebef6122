// The handover: what the owner would send back is mended on the screen, the package is made, and its page is opened from a disk.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { after, before, test } from "node:test";
import { axe, device, launch, program, readyJob, Served, show, text, until } from "./ground.mjs";

let served, browser, job, scratch;
before(async () => {
  served = await Served.begin();
  job = await readyJob(served, { links: 2, strands: 12 });
  for (const strand of ["01", "02", "03"])
    await served.ask(`/jobs/${job}/readings`, "POST", { entry: crypto.randomUUID(), link: "L-01", strand, wavelength_nm: 1310, direction: "AB",
      time: new Date().toISOString().slice(0, 19) + "Z", operator: "R.", power_dbm: strand === "03" ? -19.5 : -6.1 });
  await served.ask(`/jobs/${job}/rule`, "POST", { profile: "owner:cable-maker-warranty", person: "R.", reason: "warranty" });
  scratch = mkdtempSync(join(tmpdir(), "strandbook-handover-"));
  browser = await launch();
});
after(async () => {
  await browser?.close();
  await served?.end();
});

test("what is missing is mended on the screen, and the package is saved", async () => {
  const page = await device(browser, served);
  await show(page, served, job, "handover");
  const missing = page.locator(".objection.missing");
  const cords = missing.locator("li", { hasText: "launch cord lengths" });
  await cords.getByRole("button", { name: text("pre.state") }).click();
  await page.getByRole("dialog").getByLabel(text("pre.words")).fill("150 m both");
  await page.getByRole("dialog").getByRole("button", { name: text("pre.state") }).click();
  await until(async () => await cords.count() === 0, "the statement is taken");
  const certificate = missing.locator("li", { hasText: "calibration certificate" });
  writeFileSync(join(scratch, "certificate.pdf"), "%PDF-1.4 certificate");
  await certificate.locator("input[type=file]").setInputFiles(join(scratch, "certificate.pdf"));
  await until(async () => await certificate.count() === 0, "the document is enclosed");
  await page.getByText(text("pre.not-yet")).waitFor();
  await page.getByRole("button", { name: text("hand.package") }).click();
  const saving = page.getByRole("link", { name: /zip/i });
  await saving.waitFor({ timeout: 60000 });
  const [download] = await Promise.all([page.waitForEvent("download"), saving.click()]);
  const zip = join(scratch, "package.zip");
  await download.saveAs(zip);
  const said = execFileSync(program, ["verify", zip], { encoding: "utf8" });
  assert.match(said, /The package is as it was made\./);
  execFileSync("unzip", ["-q", zip, "-d", scratch]);
  assert.deepEqual(page.wrongs, []);
  await page.context().close();
});

test("the page of the package opens from a disk, finds a strand and shows its working", async () => {
  const folder = execFileSync("sh", ["-c", `ls -d ${scratch}/*/`], { encoding: "utf8" }).trim();
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 }, offline: true, locale: "en-GB" });
  const page = await context.newPage();
  const wrongs = [];
  page.on("pageerror", (error) => wrongs.push(String(error)));
  page.on("console", (message) => { if (message.type() === "error") wrongs.push(message.text()); });
  page.on("request", (request) => { if (!/^(file|data):/.test(request.url())) wrongs.push(request.url()); });
  await page.goto(pathToFileURL(join(folder, "index.html")).href);
  const list = page.getByRole("listbox");
  await list.waitFor();
  // The data of the page and of the assessment beside it are the same.
  const result = JSON.parse(readFileSync(join(folder, "assessment.json"), "utf8"));
  assert.equal(await page.getByRole("status").first().innerText(), text("map.shown", { n: 24, all: 24 }));
  await page.getByLabel(text("map.find")).fill("L-01 03");
  await until(async () => await list.getByRole("option").count() === 1, "one strand is found");
  await list.getByRole("option").click();
  const failing = result.tests.find((each) => each.link === "L-01" && each.strand === "03" && each.loss_db !== null);
  const card = page.locator("article .test").filter({ hasText: `${failing.wavelength_nm} nm` }).first();
  await card.getByText(failing.limit_db.toFixed(2) + " dB").first().waitFor();
  await card.locator(".budget").waitFor();
  await card.getByText(text("working"), { exact: true }).first().click();
  await card.getByRole("cell", { name: failing.working[0].source.slice(0, 12) }).first().waitFor();
  await page.getByLabel(text("map.find")).fill("");
  await page.getByLabel(text("outcome"), { exact: true }).selectOption("fail");
  const failed = new Set(result.tests.filter((each) => each.outcome === "fail").map((each) => `${each.link} ${each.strand}`)).size;
  await until(async () => await list.getByRole("option").count() === failed, "those that fail are left");
  await list.focus();
  await page.keyboard.press("ArrowDown");
  await page.evaluate(axe);
  const found = await page.evaluate(async () => (await window.axe.run()).violations.map((each) => `${each.id}: ${each.nodes[0].html}`));
  assert.deepEqual(found, []);
  assert.deepEqual(wrongs, []);
  await page.screenshot({ path: join(scratch, "page.png") });
  await context.close();
});
