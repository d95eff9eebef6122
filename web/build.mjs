// Bundles the application into dist/: hashed names, packed copies, and a service worker that knows them all.
import { build } from "esbuild";
import { createHash } from "node:crypto";
import { cpSync, mkdirSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { gzipSync } from "node:zlib";

const out = "dist";
const bundle = (entry, more) =>
  build({ entryPoints: [entry], bundle: true, minify: true, format: "esm", target: "es2022", write: false, outdir: out,
          jsx: "automatic", jsxImportSource: "preact", loader: { ".css": "css" }, logLevel: "warning", ...more });
const hash = (bytes) => createHash("sha256").update(bytes).digest("hex").slice(0, 10);

rmSync(out, { recursive: true, force: true });
mkdirSync(`${out}/assets`, { recursive: true });
const named = {};
for (const file of (await bundle("src/main.tsx")).outputFiles) {
  const kind = file.path.split(".").pop();
  named[kind] = `assets/main.${hash(file.contents)}.${kind}`;
  writeFileSync(`${out}/${named[kind]}`, file.contents);
}
cpSync("public", out, { recursive: true });
const page = readFileSync("src/index.html", "utf8").replace("MAIN.css", named.css).replace("MAIN.js", named.js);
writeFileSync(`${out}/index.html`, page);
const shell = ["/", ...Object.values(named).map((name) => `/${name}`), ...readdirSync("public").map((name) => `/${name}`)];
const worker = await bundle("src/worker.ts", {
  define: { SHELL: JSON.stringify(shell), VERSION: JSON.stringify(hash(page + shell.join())) }, format: "iife" });
writeFileSync(`${out}/worker.js`, worker.outputFiles[0].contents);

// The page of a package is one file: it is opened from a disk.
const inside = {};
for (const file of (await bundle("src/package.tsx", { format: "iife" })).outputFiles) inside[file.path.split(".").pop()] = file.text;
const single = readFileSync("src/package.html", "utf8").replace("PACKAGE.css", () => inside.css.replaceAll("</", "<\\/"))
  .replace("PACKAGE.js", () => inside.js.replaceAll("</", "<\\/"));
writeFileSync(`${out}/package.html`, single);

let total = 0;
for (const name of ["index.html", "worker.js", ...Object.values(named)]) {
  const packed = gzipSync(readFileSync(`${out}/${name}`), { level: 9 });
  writeFileSync(`${out}/${name}.gz`, packed);
  total += packed.length;
  console.log(`${name} ${statSync(`${out}/${name}`).size} bytes, packed ${packed.length}`);
}
console.log(`packed in all ${(total / 1000).toFixed(1)} kB`);
