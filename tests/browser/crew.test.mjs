// Two people at once, and the command line beside them: each sees what the others do within a second.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { around, device, key, launch, readyJob, Served, show, summaryOf, text, until } from "./ground.mjs";

let served, browser, kim, lee, job;
before(async () => {
  served = await Served.begin();
  job = await readyJob(served, { links: 2, strands: 12 });
  browser = await launch();
  [kim, lee] = [await device(browser, served), await device(browser, served, { person: "Lee" })];
});
after(async () => {
  await browser?.close();
  await served?.end();
});

test("what one records the other sees within a second", async () => {
  await show(kim, served, job, "reading");
  await kim.locator(".due h2").waitFor();
  await show(lee, served, job, "map");
  const passes = lee.locator(".tally li").filter({ hasText: text("outcome.pass") }).first();
  await key(kim, "-5.8\n");
  const typed = Date.now();
  await passes.waitFor({ timeout: 2000 });
  const took = Date.now() - typed;
  assert.ok(took < 1000, `${took} ms`);
  console.log(`  one person's Enter to the other's map: ${took} ms`);
});

test("two readings of one test are both kept", async () => {
  await show(kim, served, job, "map");
  await show(lee, served, job, "reading", "?link=L-02&strand=05");
  await show(kim, served, job, "reading", "?link=L-02&strand=05");
  for (const page of [kim, lee]) await page.locator(".due h2").filter({ hasText: "05" }).waitFor();
  const before = (await served.ask(`/jobs/${job}`)).counts.readings;
  await Promise.all([key(kim, "-5.7"), key(lee, "-5.9")]);
  await Promise.all([kim.keyboard.press("Enter"), lee.keyboard.press("Enter")]);
  await until(async () => (await served.ask(`/jobs/${job}`)).counts.readings === before + 2, "both are in the book");
  const view = await served.ask(`/jobs/${job}/strand?link=L-02&strand=05`);
  assert.ok(view.tests.some((each) => each.other_readings === 1));
  assert.deepEqual(view.history.filter((each) => each.kind === "reading").length, 2);
});

test("a file brought in by the command line appears on the map", async () => {
  await show(lee, served, job, "map");
  await lee.locator(".tally li").first().waitFor();
  const file = join(served.folder, "more.csv");
  writeFileSync(file, ["link,strand,wavelength_nm,direction,loss_db,time", ...Array.from({ length: 12 }, (_, i) => `L-01,${String(i + 1).padStart(2, "0")},1550,AB,9.9,2026-01-02T08:00:00Z`)].join("\n"));
  served.run("book", "add", `${job}.book`, "--readings", file);
  await lee.locator(".tally li").filter({ hasText: text("outcome.fail") }).first().waitFor({ timeout: 3000 });
  assert.ok((await summaryOf(served, job)).fail >= 11);
});

test("another crew's carry-file comes in on the screen, and says what to look at", async () => {
  const day = join(served.folder, "other.csv");
  writeFileSync(day, "link,strand,wavelength_nm,direction,loss_db\nL-01,01,1310,AB,0.31\nL-02,12,1310,AB,0.32\n");
  served.run("book", "create", "other.book", "--name", "Other crew");
  served.run("book", "add", "other.book", "--readings", day);
  served.run("book", "carry", "other.book", "--to", "other.carry");
  await show(kim, served, job, "import");
  await kim.getByLabel(text("crews.take")).setInputFiles(join(served.folder, "other.carry"));
  await kim.getByText(around("crews.taken")).waitFor();
  await until(async () => (await served.ask(`/jobs/${job}/strand?link=L-02&strand=12`)).history.some((each) => each.summary.includes("0.32")), "the other crew's reading is there");
  await kim.getByRole("button", { name: text("crews.give") }).click();
  await kim.getByRole("link", { name: text("hand.save", { file: "facts.carry" }) }).waitFor();
});

test("an owner's profile is chosen, and a rule settled after it keeps it", async () => {
  const settings = async () => (await served.ask(`/jobs/${job}`)).settings;
  const before = await settings();
  await show(kim, served, job, "rules");
  const owner = kim.getByLabel(text("profile.owner"));
  await owner.locator("option[value='owner:county']").waitFor({ state: "attached" });
  await owner.selectOption("owner:county");
  const take = kim.locator("form").filter({ has: kim.getByRole("button", { name: text("profile.take") }) });
  await take.getByLabel(text("reason"), { exact: true }).fill("contract, part 3");
  await take.getByRole("button").click();
  await until(async () => (await settings()).profile?.id === "owner:county", "the profile is in the book");
  const choose = kim.locator("form").filter({ has: kim.getByRole("button", { name: text("rule.choose") }) });
  await choose.getByLabel(text("rule.guard")).selectOption("U");
  await choose.getByLabel(text("reason"), { exact: true }).fill("guarded");
  await choose.getByRole("button").click();
  await until(async () => (await settings()).guard === "U", "the guard band is in the book");
  const after = await settings();
  assert.deepEqual([after.profile.id, after.rule], ["owner:county", before.rule]);
});

test("no page said an error", () => assert.deepEqual([...kim.wrongs, ...lee.wrongs], []));
