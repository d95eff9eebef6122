// A whole day at the screens: begin a job, bring the schedule in, choose the rule, take a reference, key in 24 strands,
// see one fail, read it again, acknowledge what was found, make the report.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { after, before, test } from "node:test";
import { readFileSync } from "node:fs";
import { around, device, key, launch, scheduleText, Served, show, summaryOf, text, until } from "./ground.mjs";

let served, browser, page;
const job = () => page.url().match(/#\/([^/]+)/)[1];
before(async () => {
  served = await Served.begin();
  browser = await launch();
  page = await device(browser, served);
});
after(async () => {
  await browser?.close();
  await served?.end();
});

test("a job begins with a name", async () => {
  await page.getByLabel(text("job.name")).fill("Tower riser");
  await page.getByRole("button", { name: text("job.create") }).click();
  await page.getByRole("heading", { level: 1, name: text("import") }).waitFor();
  assert.equal((await served.ask("/jobs"))[0].name, "Tower riser");
});

test("the schedule is shown as understood before it counts", async () => {
  await page.locator(".drop input[type=file]").setInputFiles({ name: "schedule.csv", mimeType: "text/csv", buffer: Buffer.from(scheduleText({ links: 1, strands: 24 })) });
  await page.getByText(text("imp.used", { n: 24 })).waitFor();
  assert.equal((await summaryOf(served, job())).planned, 0, "nothing is in the book yet");
  await page.getByRole("button", { name: text("imp.accept") }).click();
  await until(async () => (await served.ask(`/jobs/${job()}`)).counts.strands === 24, "24 strands in the book");
});

test("the rule is chosen with a reason", async () => {
  await show(page, served, job(), "rules");
  const choice = page.locator("select").first();
  await choice.locator("option[value='iso-14763-3-2024']").waitFor({ state: "attached" });
  await choice.selectOption("iso-14763-3-2024");
  const form = page.locator("form").filter({ has: page.getByRole("button", { name: text("rule.choose") }) });
  await form.getByLabel(text("rule.guard")).selectOption("U");
  await form.getByLabel(text("ref.method")).selectOption("one-cord");
  await form.getByLabel(text("reason"), { exact: true }).fill("owner's specification");
  await form.getByRole("button", { name: text("rule.choose") }).click();
  await until(async () => (await summaryOf(served, job())).planned > 0, "tests are planned");
});

test("a reference is taken at each wavelength", async () => {
  await show(page, served, job(), "references");
  for (const nm of ["1310", "1550"]) {
    const form = page.locator("form").filter({ has: page.getByLabel(text("ref.power")) }).first();
    await form.getByText(text("ref.one-cord"), { exact: true }).click();
    await form.getByRole("textbox", { name: `${text("wavelength")}, nm`, exact: true }).fill(nm);
    await form.getByRole("textbox", { name: text("ref.power"), exact: true }).fill("-5.00");
    await form.getByRole("textbox", { name: text("ref.name"), exact: true }).fill("K-01");
    await form.getByRole("textbox", { name: text("ref.source"), exact: true }).fill("S-1");
    await form.getByRole("textbox", { name: text("ref.cords"), exact: true }).fill("set A");
    await form.getByRole("button", { name: text("read.record") }).click();
    await until(async () => (await served.ask(`/jobs/${job()}/references`)).references.some((each) => String(each.wavelength_nm) === nm), `${nm} nm in the book`);
  }
  await page.getByText(text("ref.good"), { exact: true }).first().waitFor();
});

test("a cord check that fails says so", async () => {
  const form = page.locator("form").filter({ has: page.getByLabel(text("ref.forward")) });
  await form.getByRole("textbox", { name: text("ref.cords"), exact: true }).fill("set A");
  await form.getByRole("textbox", { name: text("ref.forward"), exact: true }).fill("0.12");
  await form.getByRole("textbox", { name: text("ref.reversed"), exact: true }).fill("0,61");
  await form.getByRole("textbox", { name: text("ref.allowed"), exact: true }).fill("0.5");
  await form.getByRole("button", { name: text("read.record") }).click();
  await form.getByText(text("outcome.fail"), { exact: true }).waitFor();
});

test("24 strands go in with five keys each; the outcome is there before Enter", async () => {
  await show(page, served, job(), "reading");
  await page.getByRole("heading", { level: 2, name: /L-01/ }).first().waitFor();
  const planned = (await summaryOf(served, job())).planned;
  const first = page.locator(".due");
  for (let i = 0; i < planned; ++i) {
    const before = await first.innerText();
    await key(page, i === 5 ? "-9.5" : "-5.9");
    await page.locator(".verdict .mark").waitFor();
    await page.keyboard.press("Enter");
    await until(async () => (await first.count()) === 0 || (await first.innerText()) !== before, `the next strand after ${i + 1} came up`);
  }
  const summary = await until(async () => { const now = await summaryOf(served, job()); return now.not_tested === 0 && now; }, "every test has a reading");
  assert.equal(summary.fail, 1);
  assert.equal(summary.pass, planned - 1);
  assert.equal((await served.ask(`/jobs/${job()}`)).counts.readings, planned);
  assert.equal(await page.getByText(text("read.none")).count(), 1);
});

test("the failing strand is found on the map, opened by keys and read again", async () => {
  await show(page, served, job(), "map");
  await page.getByLabel(text("outcome"), { exact: true }).selectOption({ label: `■ ${text("outcome.fail")}` });
  await page.getByText(text("map.shown", { n: "1", all: "24" })).waitFor();
  await page.getByRole("application").focus();
  await page.keyboard.press("Enter");
  await page.getByRole("heading", { level: 1 }).filter({ hasText: "L-01" }).waitFor();
  await page.locator(".mark").filter({ hasText: text("outcome.fail") }).first().waitFor();
  assert.ok(await page.getByRole("img", { name: around("bar") }).count() > 0, "a budget bar");
  await page.getByRole("link", { name: text("reading"), exact: true }).last().click();
  await page.locator(".due").waitFor();
  const failing = (await served.ask(`/jobs/${job()}/findings`)) && (await summaryOf(served, job())).fail;
  assert.equal(failing, 1);
});

test("a reading can be withdrawn with a reason, and stays in the history", async () => {
  const { map, cells } = await served.ask(`/jobs/${job()}/map`).then((answer) => ({ map: answer, cells: answer.cells }));
  const strand = map.strands[cells.map((column) => column.indexOf("F")).find((at) => at >= 0)];
  await show(page, served, job(), "strand", `?link=L-01&strand=${strand}`);
  await page.getByRole("listitem").filter({ hasText: "-9.5 dBm" }).getByRole("button", { name: text("withdraw") }).click();
  const dialog = page.getByRole("dialog");
  assert.equal(await dialog.getByRole("button", { name: text("withdraw") }).count(), 1);
  await dialog.getByLabel(text("reason"), { exact: true }).fill("cord was dirty");
  await dialog.getByRole("button", { name: text("withdraw") }).click();
  await dialog.waitFor({ state: "detached" });
  await page.getByText("cord was dirty").waitFor();
  const summary = await summaryOf(served, job());
  assert.deepEqual([summary.fail, summary.not_tested], [0, 1]);
});

test("what was found is acknowledged by name and with a reason", async () => {
  await served.ask(`/jobs/${job()}/readings`, "POST", { entry: crypto.randomUUID(), link: "L-01", strand: "03", wavelength_nm: 1310, direction: "AB", no_light: true, time: new Date().toISOString().slice(0, 19) + "Z" });
  await show(page, served, job(), "findings");
  await page.getByRole("button", { name: text("find.acknowledge") }).first().click();
  const dialog = page.getByRole("dialog");
  await dialog.getByLabel(text("reason"), { exact: true }).fill("seen with the owner");
  await dialog.getByRole("button", { name: text("find.acknowledge") }).click();
  await page.getByText(text("find.acknowledged", { person: "Kim", reason: "seen with the owner" })).waitFor();
  const findings = await served.ask(`/jobs/${job()}/findings`);
  assert.ok(findings.some((each) => each.acknowledged?.reason === "seen with the owner"));
});

test("a part of the job, in German, with a picture on its cover", async () => {
  await show(page, served, job(), "handover");
  await page.getByLabel(text("hand.part")).selectOption("links");
  const names = page.getByRole("listbox", { name: text("hand.by.links") });
  const one = (await names.getByRole("option").allInnerTexts())[0];
  await names.selectOption(one);
  await page.getByLabel(text("hand.language")).selectOption("de");
  await page.getByLabel(text("hand.owner_picture")).setInputFiles({ name: "sign.png", mimeType: "image/png", buffer: Buffer.from(
    "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==", "base64") });
  await page.getByRole("button", { name: text("hand.pdf") }).click();
  const link = page.getByRole("link", { name: text("hand.save", { file: "report.pdf" }) });
  await link.waitFor({ timeout: 60_000 });
  const saved = page.waitForEvent("download");
  await link.click();
  const words = execFileSync("pdftotext", ["-layout", await (await saved).path(), "-"], { encoding: "utf8" });
  assert.match(words, /Umfang\s+Strecke /);
  assert.ok(words.includes(one), one);
});

test("every form of the handover is made and saved", async () => {
  await show(page, served, job(), "handover");
  await page.getByLabel(text("hand.title")).fill("Tower riser, certification");
  for (const [what, begins] of [["pdf", "%PDF"], ["xlsx", "PK"], ["csv", "link"], ["json", "{"]]) {
    const button = page.getByRole("button", { name: text(`hand.${what}`) });
    await until(() => button.isEnabled(), "the button is free");
    await button.click();
    const save = page.getByRole("link", { name: new RegExp(`\\.${what}`) });
    await save.waitFor({ timeout: 30000 });
    const [download] = await Promise.all([page.waitForEvent("download"), save.click()]);
    const bytes = readFileSync(await download.path());
    assert.ok(bytes.length > 200, `${what} has ${bytes.length} bytes`);
    assert.ok(bytes.subarray(0, 40).toString("latin1").replace(/^\W*(?=link)/, "").startsWith(begins), what);
  }
});

test("the page said no errors", () => assert.deepEqual(page.wrongs, []));
