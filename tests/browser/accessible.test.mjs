// Every screen, bright and dark, English and German, narrow and wide: no fault that axe finds, nothing cut off, touch targets large enough.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { axe, device, german, key, launch, readyJob, Served, show, text } from "./ground.mjs";

let served, browser, job;
const screens = ["map", "strand", "reading", "references", "findings", "applications", "before", "rules", "import", "handover", "audit", "settings"];
before(async () => {
  served = await Served.begin();
  job = await readyJob(served, { links: 2, strands: 12 });
  const read = (strand, level, nm = 1310) => served.ask(`/jobs/${job}/readings`, "POST", { entry: crypto.randomUUID(), link: "L-01", strand, wavelength_nm: nm,
    direction: "AB", time: new Date().toISOString().slice(0, 19) + "Z", operator: "R.", ...(level === null ? { no_light: true } : { power_dbm: level }) });
  await read("01", -5.9);
  await read("02", -9.9);
  await read("03", null);
  await read("04", -7.1);
  await read("05", -2);
  await read("06", -2.2);
  browser = await launch();
});
after(async () => {
  await browser?.close();
  await served?.end();
});

const query = (name) => (name === "strand" ? "?link=L-01&strand=02" : "");
async function settled(page) {
  await page.getByText(text("loading")).or(page.getByText(text("loading", {}, german))).waitFor({ state: "detached" });
  await page.waitForTimeout(250);
}
/** What axe finds and still finds a second later: a screen that is being drawn on a busy machine is none yet. */
async function faults(page) {
  await page.evaluate(axe);
  const look = async () => {
    const { violations } = await page.evaluate(() => window.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }));
    return violations.map(({ id, nodes }) => `${id}: ${nodes.slice(0, 3).map((node) => node.html.slice(0, 160)).join(" | ")}`);
  };
  const found = await look();
  if (found.length === 0) return found;
  await page.waitForTimeout(1000);
  return look();
}
const looks = [
  { name: "bright", colorScheme: "light", viewport: { width: 1200, height: 800 } },
  { name: "dark", colorScheme: "dark", viewport: { width: 1200, height: 800 } },
  { name: "phone", colorScheme: "light", viewport: { width: 360, height: 740 }, hasTouch: true },
  { name: "phone, dark, German", colorScheme: "dark", viewport: { width: 360, height: 740 }, locale: "de-DE" },
  { name: "twice as large", colorScheme: "light", viewport: { width: 600, height: 400 }, deviceScaleFactor: 2 },  // 200 % of 1200 x 800
];
for (const { name, ...look } of looks)
  test(`axe finds nothing: ${name}`, async () => {
    const page = await device(browser, served, look);
    const found = [];
    for (const each of ["jobs", ...screens]) {
      if (each === "jobs") await page.goto(`${served.at}/#/`);
      else await show(page, served, job, each, query(each));
      await settled(page);
      if (each === "reading") { await key(page, "-5.9"); await page.locator(".verdict .mark").waitFor(); }
      for (const fault of await faults(page)) found.push(`${each}: ${fault}`);
      const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
      if (wide > 1) found.push(`${each}: the page is ${wide} px wider than the window`);
    }
    await page.context().close();
    assert.deepEqual(found, []);
  });

test("the map can be read as a table", async () => {
  const page = await device(browser, served);
  await show(page, served, job, "map");
  await page.getByText(text("map.table"), { exact: true }).click();
  const row = page.getByRole("row").filter({ has: page.getByRole("rowheader", { name: "02", exact: true }) }).first();
  await row.getByText(text("outcome.fail"), { exact: true }).first().waitFor();
  assert.deepEqual(await faults(page), []);
  await page.context().close();
});

test("dialogs are clean too and give the focus back", async () => {
  const page = await device(browser, served);
  await show(page, served, job, "strand", query("strand"));
  const button = page.getByRole("button", { name: text("correct") }).first();
  await button.focus();
  await page.keyboard.press("Enter");
  await page.getByRole("dialog").waitFor();
  assert.deepEqual(await faults(page), []);
  await page.keyboard.press("Escape");
  await page.getByRole("dialog").waitFor({ state: "detached" });
  assert.ok(await button.evaluate((element) => element === document.activeElement), "focus is back on the button");
  await page.context().close();
});

test("targets on a phone are at least 44 px where a finger works fast, 24 px anywhere", async () => {
  const page = await device(browser, served, { viewport: { width: 360, height: 740 }, hasTouch: true });
  const small = [];
  for (const each of screens) {
    await show(page, served, job, each, query(each));
    await settled(page);
    const fast = each === "reading" ? ".keypad button" : "nothing";
    small.push(...await page.evaluate(([fast, each]) => [...document.querySelectorAll("button, select, nav a, input:not([type=checkbox]):not([type=radio]):not([type=file])")]
      .filter((element) => element.getClientRects().length > 0)
      .map((element) => ({ element, box: element.getBoundingClientRect(), least: element.matches(fast) ? 44 : 24 }))
      .filter(({ box, least }) => box.width < least - 0.5 || box.height < least - 0.5)
      .map(({ element, box }) => `${each}: ${element.outerHTML.slice(0, 80)} ${Math.round(box.width)} x ${Math.round(box.height)}`), [fast, each]));
  }
  await page.context().close();
  assert.deepEqual(small, []);
});

test("the first stop of the Tab key skips to the content, and every stop can be seen", async () => {
  const page = await device(browser, served);
  await show(page, served, job, "references");
  await settled(page);
  await page.evaluate(() => document.body.focus());
  const unseen = [];
  for (let i = 0; i < 25; ++i) {
    await page.keyboard.press("Tab");
    const stop = await page.evaluate(() => {
      const element = document.activeElement;
      const style = getComputedStyle(element);
      return { html: element.outerHTML.slice(0, 80), seen: style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 1 || style.boxShadow !== "none", tag: element.tagName };
    });
    if (stop.tag !== "BODY" && !stop.seen) unseen.push(stop.html);
  }
  await page.context().close();
  assert.deepEqual(unseen, []);
});

test("with reduced motion nothing moves", async () => {
  const page = await device(browser, served, { reducedMotion: "reduce" });
  await show(page, served, job, "reading");
  await settled(page);
  const moving = await page.evaluate(() => [...document.querySelectorAll("*")].filter((element) => {
    const style = getComputedStyle(element);
    const longest = (text) => Math.max(...text.split(",").map((part) => parseFloat(part) * (part.includes("ms") ? 1 : 1000)));
    return (style.animationName !== "none" && longest(style.animationDuration) > 10) || longest(style.transitionDuration) > 10;
  }).map((element) => element.outerHTML.slice(0, 80)));
  await page.context().close();
  assert.deepEqual(moving, []);
});

test("a German browser gets German screens with a decimal comma", async () => {
  const page = await device(browser, served, { locale: "de-DE", person: "Änne" });
  await show(page, served, job, "strand", query("strand"));
  await page.locator(".mark").filter({ hasText: text("outcome.fail", {}, german) }).first().waitFor();
  assert.match(await page.locator("#content").innerText(), /\d,\d\d dB/);
  assert.doesNotMatch(await page.locator("#content dl").last().innerText(), /\d\.\d/);
  await page.context().close();
});
