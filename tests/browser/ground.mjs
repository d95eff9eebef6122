// The ground of the browser tests: the real program on a scratch folder, a real browser, and the screens' own words.
// STRANDBOOK names another program, STRANDBOOK_WEB_SOURCE another folder of the application.
import { spawn, execFileSync } from "node:child_process";
import { createRequire } from "node:module";
import { createServer } from "node:net";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("../..", import.meta.url));
export const program = resolve(process.env.STRANDBOOK ?? join(root, "build/release/strandbook"));
const web = resolve(process.env.STRANDBOOK_WEB_SOURCE ?? join(root, "web"));
const wanted = createRequire(join(web, "package.json"));
const { chromium } = wanted("playwright-core");
const { transformSync } = wanted("esbuild");
export const axe = readFileSync(wanted.resolve("axe-core/axe.min.js"), "utf8");
export const dist = join(web, "dist");

const catalogue = async (file, name) => {
  const { code } = transformSync(readFileSync(join(web, "src/model", file), "utf8"), { loader: "ts", format: "esm" });
  const [module] = [await import(`data:text/javascript;base64,${Buffer.from(code.replace(/^import .*$/gm, "")).toString("base64")}`)];
  return module[name];
};
export const english = await catalogue("texts.en.ts", "english");
export const german = await catalogue("texts.de.ts", "german");
/** A text of the catalogue as the screen shows it. */
export const text = (key, values = {}, words = english) => {
  if (!(key in words)) throw new Error(`no text ${key}`);
  return words[key].replace(/\{(\w+)\}/g, (whole, name) => values[name] ?? whole);
};
/** The text around its first gap: what is told of a number or a name. */
export const around = (key) => new RegExp(text(key).split(/\{\w+\}/).map((part) => part.replace(/[.*+?^${}()|[\]\\]/g, "\\$&")).join(".*"));

const freePort = () => new Promise((done) => {
  const probe = createServer();
  probe.listen(0, "127.0.0.1", () => { const { port } = probe.address(); probe.close(() => done(port)); });
});
export const pause = (ms) => new Promise((done) => setTimeout(done, ms));
/** Waits until `holds` gives something true, and gives it. */
export async function until(holds, what, seconds = 10) {
  const end = Date.now() + seconds * 1000;
  for (;;) {
    const found = await holds();
    if (found) return found;
    if (Date.now() > end) throw new Error(`not within ${seconds} s: ${what}`);
    await pause(50);
  }
}

/** The program serving a scratch folder of its own. */
export class Served {
  static async begin(folder, { shared = false } = {}) {
    const served = new Served();
    served.shared = shared;
    served.scratch = folder ? null : mkdtempSync(join(tmpdir(), "strandbook-browser-"));
    served.folder = folder ?? join(served.scratch, "jobs");
    mkdirSync(served.folder, { recursive: true });
    served.port = await freePort();
    served.at = `${shared ? "https" : "http"}://127.0.0.1:${served.port}`;
    await served.start();
    return served;
  }
  environment() {
    const home = this.scratch ?? this.folder;
    return { ...process.env, STRANDBOOK_DEVICE: join(home, "device"), STRANDBOOK_WEB: dist, XDG_CONFIG_HOME: join(home, "config"),
             XDG_STATE_HOME: join(home, "state"), HOME: home };
  }
  async start() {
    this.child = spawn(program, ["serve", this.folder, "--port", String(this.port), ...(this.shared ? ["--share"] : [])], { env: this.environment(), stdio: ["ignore", "pipe", "pipe"] });
    this.said = "";
    for (const stream of [this.child.stdout, this.child.stderr]) stream.on("data", (bytes) => { this.said += bytes; });
    await until(async () => {
      if (this.child.exitCode !== null) throw new Error(`the program ended: ${this.said}`);
      if (this.shared) return this.said.includes("serves at");
      return fetch(`${this.at}/api/v1/about`).then((answer) => answer.ok, () => false);
    }, "the service answers", 60);
  }
  /** As a pulled plug: nothing is finished, nothing is said. */
  async kill() {
    const ended = new Promise((done) => this.child.once("exit", done));
    this.child.kill("SIGKILL");
    await ended;
  }
  async end() {
    if (this.child.exitCode === null && this.child.signalCode === null) await this.kill();
    if (this.scratch) rmSync(this.scratch, { recursive: true, force: true });
  }
  /** What the service itself says, beside the screens. */
  async ask(path, method = "GET", body = undefined) {
    const answer = await fetch(`${this.at}/api/v1${path}`, { method, body: body && JSON.stringify(body), headers: body ? { "content-type": "application/json" } : {} });
    if (!answer.ok) throw new Error(`${method} ${path}: ${answer.status} ${await answer.text()}`);
    return answer.status === 204 ? null : answer.json();
  }
  /** The command line on the same folder; status 1 only says that something fails or is missing. */
  run(...args) {
    try {
      return execFileSync(program, args, { env: this.environment(), encoding: "utf8", cwd: this.folder });
    } catch (failure) {
      if (failure.status === 1) return failure.stdout;
      throw failure;
    }
  }
}

/** A job that a crew could begin with at once: schedule, rule and one reference at each wavelength. */
export async function readyJob(served, { id = "hall", links = 2, strands = 12, wavelengths = [1310, 1550], directions = "either", references = true } = {}) {
  const file = join(served.folder, `${id}.csv`);
  writeFileSync(file, scheduleText({ links, strands }));
  served.run("book", "create", `${id}.book`, "--name", `Job ${id}`);
  served.run("book", "add", `${id}.book`, "--schedule", file);
  rmSync(file);
  served.run("book", "rule", `${id}.book`, "--rule", "iso-14763-3-2024", "--guard", "U", "--wavelengths", wavelengths.join(","),
             "--directions", directions, "--reference-method", "one-cord", "--person", "R.", "--reason", "test");
  await until(async () => (await served.ask("/jobs")).some((job) => job.id === id), "the job is listed");
  if (references)
    for (const nm of wavelengths)
      await served.ask(`/jobs/${id}/references`, "POST", { entry: crypto.randomUUID(), kind: "opening", wavelength_nm: nm, power_dbm: -5, method: "one-cord",
        time: moment(-60), reference: "K-01", source: "S-1", meter: "M-1", cords: "set A", operator: "R." });
  return id;
}
export const moment = (seconds) => `${new Date(Date.now() + seconds * 1000).toISOString().slice(0, 19)}Z`;
export function scheduleText({ links, strands }) {
  const rows = ["link,strand,cable,building,end_a,end_b,fibre,length_m,connections,splices"];
  for (let link = 1; link <= links; ++link)
    for (let strand = 1; strand <= strands; ++strand)
      rows.push([`L-${String(link).padStart(2, "0")}`, String(strand).padStart(2, "0"), `C${link}`, `B${1 + (link % 3)}`, `P${link}:A`, `P${link}:B`, "OS2", 400, 2, 2].join(","));
  return rows.join("\n");
}

export const launch = () => chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", headless: true,
  args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"] });

/** A device of its own, with a person's name in it. */
export async function device(browser, served, { person = "Kim", locale = "en-GB", ...context } = {}) {
  const own = await browser.newContext({ locale, viewport: { width: 1200, height: 800 }, acceptDownloads: true, ...context });
  own.setDefaultTimeout(10000);
  const page = await own.newPage();
  page.wrongs = [];
  page.on("pageerror", (wrong) => page.wrongs.push(String(wrong)));
  page.on("console", (line) => { if (line.type() === "error" && !/net::ERR|Failed to load resource/.test(line.text())) page.wrongs.push(line.text()); });
  await page.goto(`${served.at}/`);
  const words = locale.startsWith("de") ? german : english;
  await page.getByLabel(text("person", {}, words)).fill(person);
  await page.getByRole("button", { name: text("save", {}, words) }).click();
  await page.getByRole("heading", { level: 1, name: text("jobs", {}, words) }).waitFor();
  return page;
}
export const screen = (served, job, name, query = "") => `${served.at}/#/${encodeURIComponent(job)}/${name}${query}`;
export async function show(page, served, job, name, query = "") {
  await page.goto(screen(served, job, name, query));
  await page.locator("#content").waitFor();
}
/** As a hand on the keyboard: digit by digit. */
export async function key(page, digits) { for (const each of digits) await page.keyboard.press(each === "\n" ? "Enter" : each); }
export const summaryOf = async (served, job) => (await served.ask(`/jobs/${job}`)).summary;
