// A crew that works in German: whatever goes wrong, no English sentence reaches them.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { device, german, launch, readyJob, Served, show, text, until } from "./ground.mjs";

let served, browser, page, job;
before(async () => {
  served = await Served.begin();
  job = await readyJob(served, { links: 1, strands: 4 });
  browser = await launch();
  page = await device(browser, served, { locale: "de-DE" });
});
after(async () => {
  await browser?.close();
  await served?.end();
});

const word = (key, values) => text(key, values, german);
// Small words that an English sentence of more than a few words has, and a German one has not.
const englishWords = /\b(the|The|of|is|are|were|and|or|not|with|for|this|This|that|which|to|from|no|No|only|one|by|as|has|have|be|it)\b/;
// What stands in quotes is a cell or a member of a file; words with a dash are codes.
const withoutNames = (line) => line.replace(/„[^“]*“|"[^"]*"|`[^`]*`/g, "").replace(/\b[a-z]+(-[a-z]+)+\b/g, "");
/** Lines of the screen that hold English. */
async function englishOn(place) {
  const all = await page.locator(place).innerText();
  return all.split("\n").map(withoutNames).filter((line) => englishWords.test(line));
}
async function noEnglish(place = "#content") {
  assert.deepEqual(await englishOn(place), []);
}

test("a file that is no table is refused in German", async () => {
  await show(page, served, job, "import");
  const file = join(served.folder, "page.csv");
  writeFileSync(file, "<!doctype html><html><body>no table</body></html>");
  await page.locator(".drop input[type=file]").setInputFiles(file);
  const wrong = page.getByText("eine Webseite oder anderes XML, keine Tabelle");
  await wrong.waitFor();
  assert.match(await page.locator("#content").innerText(), /gefunden: .*; erwartet: Text mit Trennzeichen \(CSV\), XLSX oder ODS\. im Tabellenprogramm öffnen/);
  await noEnglish();
});

test("rows that cannot be read say why in German, and their cells stay as they were written", async () => {
  await show(page, served, job, "import");
  const file = join(served.folder, "readings.csv");
  writeFileSync(file, ["link,strand,wavelength_nm,direction,loss_db", "L-01,01,1310,AB,0.42", "L-01,02,1310,AB,12.3.4", "L-01,03,99,AB,0.50",
                       "L-01,04,1310,AB,200.5", "L-99,01,1310,AB,0.40"].join("\n"));
  await page.getByLabel(word("imp.purpose")).selectOption("readings");
  await page.locator(".drop input[type=file]").setInputFiles(file);
  await page.getByText("eine Wellenlänge von 600 bis 1700 nm").first().waitFor();
  await page.getByText("200.5", { exact: true }).waitFor();
  await noEnglish();
  await page.getByRole("button", { name: word("imp.accept") }).click();
  await until(async () => (await served.ask(`/jobs/${job}`)).counts.readings > 0, "the readings are in the book");
  await noEnglish();
});

test("where light came out and the certificates are brought in, and tell in German what follows", async () => {
  const files = { continuity: "von,nach\nL-01/01,L-01/02\nL-01/02,keine Ahnung\nL-01/03,dunkel\n",
                  calibrations: "Gerät,kalibriert am,gültig bis\nM-1,2025-01-01,2025-12-31\nM-2,2025-01-01,\n" };
  for (const [purpose, content] of Object.entries(files)) {
    await show(page, served, job, "import");
    const file = join(served.folder, `${purpose}.csv`);
    writeFileSync(file, content);
    await page.getByLabel(word("imp.purpose")).selectOption(purpose);
    await page.locator(".drop input[type=file]").setInputFiles(file);
    await page.getByRole("button", { name: word("imp.accept") }).waitFor();
    await noEnglish();
    await page.getByRole("button", { name: word("imp.accept") }).click();
    await page.getByText(purpose === "continuity" ? "3 Lichtwege" : "1 Kalibrierungen").waitFor();
    await noEnglish();
  }
  await show(page, served, job, "findings");
  await page.getByText("das Licht kommt aus einer anderen Faser (01 → 02)").waitFor();
  await page.getByText("das Licht kommt nirgends an").waitFor();
  await noEnglish();
  await show(page, served, job, "strand", "?link=L-01&strand=01");
  await page.getByText(word("reason.light-crossed")).first().waitFor();
});

test("what is left over and what stands out is said in German", async () => {
  await show(page, served, job, "findings");
  await page.getByText("Messwerte gehören zu keiner geplanten Faser").waitFor();
  await noEnglish();
  await show(page, served, job, "handover");
  await page.getByRole("heading", { name: word("hand.missing") }).waitFor();
  await noEnglish();
});

test("a strand's working, reasons and history are in German", async () => {
  await show(page, served, job, "strand", "?link=L-01&strand=01");
  await page.getByText("Messwert: Dämpfung 0,42 dB").first().waitFor();
  for (const working of await page.locator("#content summary").all()) await working.click();
  await noEnglish();
});

test("a rule file with a mistake is refused in German", async () => {
  await show(page, served, job, "rules");
  await page.getByRole("button", { name: word("rule.start") }).click();
  await page.getByLabel(word("rule.text")).fill('{"id": "own:x", "attenuation": 5}');
  const wrong = page.locator("section.card [role=alert]");
  await wrong.getByText("erwartet: ").first().waitFor();
  assert.doesNotMatch(withoutNames(await wrong.innerText()), englishWords);
});

test("a number that cannot be is refused in German", async () => {
  const answer = await page.evaluate(async (id) => (await fetch(`/api/v1/jobs/${id}/readings`, { method: "POST", headers: { "content-type": "application/json", "accept-language": "de" },
    body: JSON.stringify({ entry: crypto.randomUUID(), link: "L-01", strand: "01", wavelength_nm: 1310, direction: "AB", loss_db: "viel", time: "2026-01-01T00:00:00Z" }) })).json(), job);
  assert.match(answer.error.expected, /eine Zahl von/);
  assert.doesNotMatch(withoutNames(answer.error.what), englishWords);
});

test("the language changes what the service says at once", async () => {
  await show(page, served, job, "settings");
  await page.getByLabel(word("set.language")).selectOption("en");
  await show(page, served, job, "strand", "?link=L-01&strand=01");
  await page.getByText("reading: loss 0.42 dB").first().waitFor();
});

test("no page said an error", () => assert.deepEqual(page.wrongs, []));
