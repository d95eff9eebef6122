// Which networks a link will carry, from the table of all to the working of one, and a live level as it is typed.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { device, german, launch, readyJob, Served, show, text } from "./ground.mjs";

let served, browser, job;
before(async () => {
  served = await Served.begin();
  job = await readyJob(served, { links: 1, strands: 4 });
  for (const [strand, level] of [["01", -6.1], ["02", -6.2], ["03", -6.0], ["04", -12.9]])
    await served.ask(`/jobs/${job}/readings`, "POST", { entry: crypto.randomUUID(), link: "L-01", strand, wavelength_nm: 1310, direction: "AB",
      time: new Date().toISOString().slice(0, 19) + "Z", operator: "R.", power_dbm: level });
  browser = await launch();
});
after(async () => {
  await browser?.close();
  await served?.end();
});

test("from all applications to one and its working", async () => {
  const page = await device(browser, served);
  await show(page, served, job, "applications");
  await page.getByLabel(text("app.find")).fill("100gbase-fr1");
  const rows = page.locator("table.counts tbody tr");
  await assert.doesNotReject(rows.first().waitFor());
  assert.equal(await rows.count(), 1);
  assert.deepEqual((await rows.first().locator("td.n").allInnerTexts()).map(Number).map((n) => n || 0), [1, 0, 0, 1]);
  await rows.first().getByRole("link").click();
  const card = page.locator("article.answer").first();
  await card.locator(".mark").filter({ hasText: text("carries.not-supported") }).waitFor();
  await card.getByText(text("carry.loss-beyond")).waitFor();
  await card.getByText(text("app.working"), { exact: true }).click();
  await card.getByRole("cell", { name: /IEEE 802\.3/ }).first().waitFor();
  assert.deepEqual(page.wrongs, []);
  await page.context().close();
});

test("a live level is judged while it is typed", async () => {
  const page = await device(browser, served, { locale: "de-DE" });
  await show(page, served, job, "applications");
  const live = page.locator("section.card").filter({ hasText: text("app.live", {}, german) });
  await live.getByLabel(text("app.application", {}, german), { exact: true }).selectOption("10GBASE-LR");
  const level = live.getByLabel(text("read.level", {}, german), { exact: true });
  await level.fill("-8,2");
  await live.locator(".mark").filter({ hasText: text("outcome.pass", {}, german) }).waitFor();
  await level.fill("-19");
  await live.getByText(text("level.low", {}, german)).waitFor();
  await level.fill("12");
  await page.getByRole("alert").getByText(/minus/).waitFor();
  await page.context().close();
});

test("a link outside the tables is answered with its picture", async () => {
  const page = await device(browser, served);
  await show(page, served, job, "applications");
  const panel = page.locator("section.card").filter({ hasText: text("eng.title") });
  const choices = panel.getByLabel(text("app.application"), { exact: true });
  await choices.locator("option", { hasText: "2000 MHz" }).first().waitFor({ state: "attached" });
  await choices.selectOption({ label: await choices.locator("option", { hasText: "2000 MHz" }).first().innerText() });
  await panel.getByLabel(text("eng.length")).fill("300");
  await panel.getByLabel(text("eng.joints")).fill("1.5");
  await panel.locator(".mark").filter({ hasText: text("carries.supported") }).waitFor();
  await panel.locator("svg.curve").waitFor();
  await panel.getByLabel(text("eng.joints")).fill("4");
  await panel.locator(".mark").filter({ hasText: text("carries.not-supported") }).waitFor();
  assert.deepEqual(page.wrongs, []);
  await page.context().close();
});
