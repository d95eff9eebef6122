// Pictures of every screen, to be looked at: narrow, tablet and wide; bright and dark. node pictures.mjs [FOLDER]
import { mkdirSync, readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { device, key, launch, Served, show } from "./ground.mjs";

const folder = resolve(process.argv[2] ?? fileURLToPath(new URL("../../out/screens", import.meta.url)));
mkdirSync(folder, { recursive: true });
const campus = fileURLToPath(new URL("../../demo-campus/", import.meta.url));
const served = await Served.begin();
served.run("book", "create", "campus.book", "--name", "Lindenfurt campus");
served.run("book", "add", "campus.book", "--schedule", `${campus}schedule.csv`, "--references", `${campus}references.csv`,
           "--readings", `${campus}readings-crew-k.csv`, "--readings", `${campus}readings-crew-r.csv`, "--readings", `${campus}readings-crew-t.xlsx`);
served.run("book", "rule", "campus.book", "--rule", "iso-14763-3-2024", "--guard", "U", "--person", "R.", "--reason", "owner's specification");
for (const nm of [850, 1300, 1310, 1550])
  await served.ask("/jobs/campus/references", "POST", { entry: crypto.randomUUID(), kind: "opening", wavelength_nm: nm, power_dbm: -5.12, method: "one-cord",
    time: `${new Date(Date.now() - 9e5).toISOString().slice(0, 19)}Z`, reference: "K-09", source: "S-1", meter: "M-1", cords: "set A", operator: "K." });
const browser = await launch();
const sizes = { phone: { width: 360, height: 740 }, tablet: { width: 820, height: 1100 }, wide: { width: 1440, height: 900 } };
const screens = [["jobs"], ["map"], ["strand", "?link=01T-02T.BB1&strand=17"], ["reading"], ["references"], ["findings"], ["before"], ["applications"], ["rules"], ["import"], ["handover"], ["settings"]];
for (const [size, viewport] of Object.entries(sizes))
  for (const colorScheme of ["light", "dark"]) {
    const page = await device(browser, served, { viewport, colorScheme, person: "Kim" });
    for (const [name, query] of screens) {
      if (name === "jobs") await page.goto(`${served.at}/#/`);
      else await show(page, served, "campus", name, query);
      await page.waitForTimeout(500);
      if (name === "reading") { await key(page, "-7.3"); await page.waitForTimeout(300); }
      if (name === "import") {
        await page.locator(".drop input[type=file]").setInputFiles({ name: "schedule.csv", mimeType: "text/csv", buffer: readFileSync(join(campus, "schedule.csv")) });
        await page.waitForTimeout(600);
      }
      await page.screenshot({ path: join(folder, `${name}-${size}-${colorScheme === "dark" ? "dark" : "bright"}.png`) });
    }
    await page.context().close();
  }
await browser.close();
await served.end();
console.log(folder);
