// Traces: brought in by file, seen from both ends over one axis, events tied to the table, cursors read by the service.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { around, axe, device, german, launch, readyJob, Served, show, text, until } from "./ground.mjs";

const [index, step, pulse] = [1.468, 0.5, 30];
/** A table as anyone can export it: launch cord 150 m, then two fibres with a splice between them, receive cord 150 m. */
function table({ direction, fibres = [200, 200], splice = 0.12, nm = 1310, step: every = step, fibre = "01" }) {
  const lengths = [150, ...(direction === "BA" ? [...fibres].reverse() : fibres), 150];
  const joints = [[0.3, -45], [splice, null], [0.3, -45]];
  const pulseM = 299792458 * pulse * 1e-9 / 2 / index;
  const unit = 10 ** (-80 / 10) * pulse;
  const places = joints.map((_, i) => lengths.slice(0, i + 1).reduce((a, b) => a + b, 0));
  const end = lengths.reduce((a, b) => a + b, 0);
  let dice = 12345;
  const noise = () => { let sum = 0; for (let i = 0; i < 12; ++i) { dice = (dice * 1103515245 + 12345) % 2147483648; sum += dice / 2147483648; } return (sum - 6) * 10 ** (-18 / 5); };
  const keep = Math.exp(-2 * index * every / 299792458 * 2 * Math.PI * 14e6);
  const rows = [];
  let held = 0;
  for (let k = 0; k < (end / every) * 1.3; ++k) {
    const z = k * every;
    let [shown, light] = [0.00035 * z, 0];
    joints.forEach(([loss, reflectance], i) => {
      const share = Math.min(1, Math.max(0, (z - places[i]) / pulseM));
      if (reflectance !== null && z >= places[i] && z < places[i] + pulseM) light += 10 ** (reflectance / 10) / unit * 10 ** (-0.4 * shown);
      shown += loss * share;
    });
    const gone = Math.min(1, Math.max(0, (z - end) / pulseM));
    light += 10 ** (-shown / 5) * (1 - gone);
    if (z >= end && z < end + pulseM) light += 10 ** (-45 / 10) / unit * 10 ** (-0.4 * shown);
    held = keep * held + (1 - keep) * light;
    rows.push(`${z.toFixed(3)},${(k ? 5 * Math.log10(Math.max(held + noise(), 1e-5)) : -1).toFixed(4)}`);
  }
  return ["# otdr-table 1", `# wavelength_nm=${nm} pulse_ns=${pulse} group_index=${index} backscatter_1ns_db=-80`, "# level=oneway_db sign=up",
    `# direction=${direction} launch_m=150 tail_m=150 cable=L-01 fibre=${fibre} taken=2026-03-04T10:22:31+01:00`, "distance_m,level_db", ...rows].join("\n") + "\n";
}

let served, browser, job;
const files = {};
before(async () => {
  served = await Served.begin();
  job = await readyJob(served, { links: 1, strands: 4 });
  for (const [name, content] of [["L-01_01_AB.csv", table({ direction: "AB" })], ["L-01_01_BA.csv", table({ direction: "BA" })], ["L-01_02_AB.csv", table({ direction: "AB", fibre: "02", splice: 0.3 })],
                                 ["long.csv", table({ direction: "AB", fibre: "03", fibres: [6000, 5900], step: 0.125 })]]) {
    files[name] = join(served.scratch, name);
    writeFileSync(files[name], content);
  }
  await served.ask(`/jobs/${job}/readings`, "POST", { entry: crypto.randomUUID(), link: "L-01", strand: "01", wavelength_nm: 1310, direction: "AB",
    time: new Date().toISOString().slice(0, 19) + "Z", operator: "R.", power_dbm: -6.9 });
  browser = await launch();
});
after(async () => {
  await browser?.close();
  await served?.end();
});

test("files of traces are brought in on the Import screen, several at once", async () => {
  const page = await device(browser, served);
  await show(page, served, job, "import");
  await page.getByLabel(text("imp.purpose")).selectOption("traces");
  await page.getByLabel(text("imp.drop")).setInputFiles([files["L-01_01_AB.csv"], files["L-01_01_BA.csv"], files["L-01_02_AB.csv"]]);
  await page.getByRole("button", { name: text("imp.rest", { n: 3 }) }).click();
  // The file's name is told while it is still being read: the book says when it is in.
  const { strands } = await until(async () => {
    const answer = await served.ask(`/jobs/${job}/traces`);
    return answer.strands.length === 2 && answer;
  }, "all three are in the book", 30);
  assert.deepEqual(strands.map((line) => [line.strand, line.from_a, line.from_b]), [["01", true, true], ["02", true, false]]);
  assert.deepEqual(page.wrongs, []);
  await page.context().close();
});

test("picture and table are tied, cursors are read by least squares, keys suffice", async () => {
  const page = await device(browser, served);
  await show(page, served, job, "traces");
  await page.getByRole("link", { name: /L-01\s+01/ }).click();
  const picture = page.getByRole("application", { name: text("trace.picture") });
  await picture.waitFor();
  const rows = page.locator("table.events tbody tr");
  await until(async () => (await rows.count()) >= 3, "the events");
  // from the table into the picture
  await rows.nth(1).getByRole("button").click();
  assert.equal(await rows.nth(1).getAttribute("aria-selected"), "true");
  // and from the picture into the table
  await picture.focus();
  await page.keyboard.press("n");
  await until(async () => (await rows.nth(2).getAttribute("aria-selected")) === "true", "the next event is chosen");
  const readout = page.locator("section.readout");
  // 0.35 dB/km is what the fibre was made with; between a quarter and three quarters of the link lies the splice, so the
  // cursors go before it first.
  await page.keyboard.press("2");
  for (let i = 0; i < 20; ++i) await page.keyboard.press("Shift+ArrowLeft");
  const before = await readout.innerText();
  await page.keyboard.press("ArrowRight");
  await until(async () => (await readout.innerText()) !== before, "the readout follows");
  await readout.getByText(text("trace.line")).waitFor();
  // The mark above the first event, by a tap.
  await page.keyboard.press("Home");
  const first = (await served.ask(`/jobs/${job}/traces?link=L-01&strand=01`)).judged[0];
  const box = await page.locator(".trace-box canvas").boundingBox();
  const [from, to] = [-0.06 * first.length_m - 5, 1.08 * first.length_m + 5];
  await page.mouse.click(box.x + 46 + (box.width - 46) * (first.events[0].position_m - from) / (to - from), box.y + 12);
  await until(async () => (await rows.nth(0).getAttribute("aria-selected")) === "true", "the tapped event is chosen");
  assert.deepEqual(page.wrongs, []);
  await page.context().close();
});

test("the service reads between the cursors what the fibre was made with", async () => {
  const { judged } = await served.ask(`/jobs/${job}/traces?link=L-01&strand=01`);
  for (const trace of judged[0].traces) {
    const read = await served.ask(`/jobs/${job}/traces/${trace.fact}/readout?one_m=60&other_m=180`);
    assert.ok(Math.abs(read.apart_m - 120) < 1.1, JSON.stringify(read));
    assert.ok(Math.abs(read.attenuation_db_km - (trace.direction === "AB" ? 0.35 : 0.35)) < 3 * read.attenuation_uncertainty_db_km + 0.02, JSON.stringify(read));
  }
});

test("a hundred thousand samples are zoomed and moved smoothly", async () => {
  served.run("book", "add", `${job}.book`, "--traces", files["long.csv"]);
  await until(async () => (await served.ask(`/jobs/${job}/traces`)).strands.some((line) => line.strand === "03"), "the long trace is there", 20);
  const page = await device(browser, served);
  await show(page, served, job, "traces", "?link=L-01&strand=03");
  await page.getByRole("application").waitFor();
  const { judged } = await served.ask(`/jobs/${job}/traces?link=L-01&strand=03`);
  const looked = await served.ask(`/jobs/${job}/traces/${judged[0].traces[0].fact}`);
  assert.ok(looked.samples >= 100000, `${looked.samples} samples`);
  await page.locator("section.readout dd").first().waitFor();
  const box = await page.locator(".trace-box canvas").boundingBox();
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  const frames = page.evaluate(() => new Promise((done) => {
    const times = [];
    const tick = (now) => { times.push(now); if (times.length < 60) requestAnimationFrame(tick); else done(times.slice(1).map((at, i) => at - times[i])); };
    requestAnimationFrame(tick);
  }));
  for (let i = 0; i < 12; ++i) await page.mouse.wheel(0, i % 2 ? 120 : -240);
  const each = (await frames).sort((a, b) => a - b);
  console.log(`frames while zooming ${looked.samples} samples: median ${each[30].toFixed(1)} ms, 95 % ${each[56].toFixed(1)} ms`);
  assert.ok(each[30] < 50, `median frame ${each[30]} ms`);
  await page.context().close();
});

test("feet, German, a phone and the checker of accessible screens", async () => {
  const page = await device(browser, served, { locale: "de-DE", viewport: { width: 390, height: 800 }, hasTouch: true });
  await page.evaluate(() => { const key = "strandbook-preferences"; localStorage.setItem(key, JSON.stringify({ ...JSON.parse(localStorage.getItem(key)), feet: true })); });
  await page.reload();
  await show(page, served, job, "traces", "?link=L-01&strand=01");
  await page.getByRole("heading", { level: 2, name: text("trace.events", {}, german) }).waitFor();
  await page.locator("table.events tbody").getByText(/65[567],\d ft/).first().waitFor();
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  assert.ok(wide <= 0, `the page is ${wide} px wider than the phone`);
  await page.locator("section.readout dd").first().waitFor();
  await page.evaluate(axe);
  const { violations } = await page.evaluate(() => window.axe.run());
  assert.deepEqual(violations.map((each) => `${each.id}: ${each.nodes[0]?.html}`), []);
  if (process.env.PICTURES) await page.screenshot({ path: join(process.env.PICTURES, "traces-phone.png"), fullPage: true });
  await page.context().close();
});

test("other strands of the link lie beside it", async () => {
  const page = await device(browser, served);
  await show(page, served, job, "traces", "?link=L-01&strand=01");
  await page.getByText(around("trace.beside")).click();
  await page.getByRole("checkbox", { name: /02/ }).check();
  await page.getByText(text("trace.beside", { n: 1 })).waitFor();
  await page.locator("section.readout dd").first().waitFor();
  if (process.env.PICTURES) await page.screenshot({ path: join(process.env.PICTURES, "traces.png"), fullPage: true });
  assert.deepEqual(page.wrongs, []);
  await page.context().close();
});

test("a splice made again is recorded at its event and stays open until it is traced anew", async () => {
  await served.ask(`/jobs/${job}/rule`, "POST", { profile: "owner:city-fibre-agreement", person: "R.", reason: "the owner's agreement" });
  const page = await device(browser, served);
  await show(page, served, job, "traces");
  await page.getByRole("link", { name: /L-01\s+01/ }).click();
  const splice = page.locator("table.events tbody tr").nth(1);
  await splice.getByText(text("trace.verdict.within")).waitFor();
  await splice.getByRole("button").click();
  const form = page.locator("form.card", { hasText: text("splice.again") });
  await form.waitFor();
  assert.equal(await form.getByLabel(text("splice.attempt")).inputValue(), "2");
  await form.getByText(text("caution.arc")).waitFor();
  await form.getByLabel(text("splice.method")).selectOption("fusion");
  if (process.env.STRANDBOOK_PICTURES) await page.screenshot({ path: join(process.env.STRANDBOOK_PICTURES, "splice-again.png"), fullPage: true });
  await page.evaluate(axe);
  assert.deepEqual((await page.evaluate(() => window.axe.run())).violations.map((each) => `${each.id}: ${each.nodes[0].html} ${each.nodes[0].failureSummary}`), []);
  await form.getByRole("button", { name: text("read.record") }).click();
  await splice.getByText("made again (attempt 2) after it was traced: trace it anew").waitFor();
  const facts = served.run("book", "history", `${job}.book`, "--link", "L-01", "--strand", "01");
  assert.match(facts, /splice attempt: (199|200)\.\d m from A, attempt 2, fusion/);
  assert.deepEqual(page.wrongs, []);
  await page.context().close();
});
