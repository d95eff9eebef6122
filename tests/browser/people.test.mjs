// A shared book: the lead lets people in with a code, each may what the role says, a lost tablet is cut off.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { axe, german, launch, Served, scheduleText, text, until } from "./ground.mjs";
import { rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";

let served, browser, lead, kim;
const word = (key, values) => text(key, values, german);
before(async () => {
  served = await Served.begin(undefined, { shared: true });
  const file = join(served.folder, "plan.csv");
  writeFileSync(file, scheduleText({ links: 1, strands: 4 }));
  served.run("book", "create", "hall.book", "--name", "Hall");
  served.run("book", "add", "hall.book", "--schedule", file);
  served.run("book", "rule", "hall.book", "--limit", "1.5", "--wavelengths", "1310", "--person", "R.", "--reason", "test");
  rmSync(file);
  browser = await launch();
});
after(async () => {
  await browser?.close();
  await served?.end();
});

/** A browser that has not joined; the certificate is the computer's own. */
async function stranger(locale) {
  const context = await browser.newContext({ locale, ignoreHTTPSErrors: true, viewport: { width: 1100, height: 900 } });
  context.setDefaultTimeout(10000);
  return context.newPage();
}
async function joins(page, code, words) {
  await page.goto(`${served.at}/`);
  await page.getByLabel("Code").fill(code);
  await page.getByRole("button", { name: words === german ? "Beitreten" : "Join" }).click();
  await page.getByRole("heading", { level: 1, name: text("jobs", {}, words) }).waitFor();
}
async function faults(page) {
  await page.evaluate(axe);
  const { violations } = await page.evaluate(() => window.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }));
  return violations.map(({ id, nodes }) => `${id}: ${nodes[0].html.slice(0, 160)}`);
}

test("the lead joins with the code of the terminal and lets a crew in", async () => {
  lead = await stranger("de-DE");
  await joins(lead, served.said.match(/Code for the lead.*: (\S+)/)[1], german);
  await lead.getByRole("link", { name: word("people") }).click();
  await lead.getByRole("heading", { level: 1, name: word("people") }).waitFor();
  await lead.getByLabel(word("people.name")).fill("Kim");
  await lead.getByLabel(word("people.role")).selectOption("crew");
  await lead.getByRole("button", { name: word("people.make") }).click();
  const code = await lead.locator(".code.big").innerText();
  assert.match(code, /^[A-Z2-9]{4}-[A-Z2-9]{4}$/);
  assert.deepEqual(await faults(lead), []);
  const shown = await lead.locator("#content").innerText();
  assert.ok(!/\b(the|code for|people)\b/i.test(shown.replace(/https:\S+/g, "").replace(/Mozilla.*/g, "")), shown);
  kim = await stranger("en-GB");
  await kim.goto(`${served.at}/pair?code=${code}`);
  assert.equal(await kim.getByLabel("Code").inputValue(), code);
  await kim.getByRole("button", { name: "Join" }).click();
  await kim.getByRole("heading", { level: 1, name: text("jobs") }).waitFor();
  await lead.getByRole("button", { name: word("people.done") }).click();
  await lead.getByRole("heading", { level: 3, name: /Kim/ }).waitFor();
});

test("the crew adds readings under its own name, and the lead sees who did", async () => {
  await kim.goto(`${served.at}/#/hall/reading`);
  await kim.locator(".due h2").waitFor();
  const answer = await kim.evaluate(async () => {
    const body = { entry: crypto.randomUUID(), link: "L-01", strand: "01", wavelength_nm: 1310, direction: "AB", loss_db: 0.4, time: new Date().toISOString().slice(0, 19) + "Z", operator: "Kim" };
    return (await fetch("/api/v1/jobs/hall/readings", { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(body) })).status;
  });
  assert.equal(answer, 200);
  await lead.goto(`${served.at}/#/hall/handover`);
  await lead.getByRole("link", { name: word("audit") }).click();
  await lead.getByRole("heading", { level: 1, name: word("audit") }).waitFor();
  await lead.getByText(/^Kim @/).waitFor();
  assert.deepEqual(await faults(lead), []);
});

test("what the crew may not do is refused in words, and shows no button where it can", async () => {
  await kim.goto(`${served.at}/#/`);
  await kim.getByRole("heading", { level: 1, name: text("jobs") }).waitFor();
  assert.equal(await kim.getByRole("link", { name: text("people") }).count(), 0);
  await kim.goto(`${served.at}/#/hall/handover`);
  await kim.getByRole("button", { name: text("hand.csv") }).click();
  await kim.getByText(/let in as crew/).waitFor();
});

test("a tablet that is cut off is out at once", async () => {
  await lead.goto(`${served.at}/#/people/people`);
  const card = lead.locator("li.card").filter({ hasText: "Kim" });
  await card.getByRole("button", { name: word("people.cut-off") }).click();
  await card.waitFor({ state: "detached" });
  await until(async () => (await kim.evaluate(async () => (await fetch("/api/v1/jobs")).status)) === 401, "Kim is out");
});
