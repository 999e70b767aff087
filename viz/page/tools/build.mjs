// Puts the page together: types from the schemas, one bundle, its styles, and a content-security policy by their hashes.
//     node tools/build.mjs OUT.html
import { build } from "esbuild";
import { createHash } from "node:crypto";
import { mkdirSync, readFileSync, renameSync, writeFileSync } from "node:fs";
import { dirname } from "node:path";
import { typesOf } from "./types.mjs";

const out = process.argv[2] ?? "page.html";
writeFileSync("src/results.ts", typesOf("schema"));
const bundled = await build({
  entryPoints: ["src/main.ts"], bundle: true, minify: true, format: "iife", target: "es2021", charset: "utf8",
  write: false, legalComments: "none", loader: { ".css": "text" }, outdir: "out",
});
// A script's element ends at the first "</script", wherever it stands; "<!--" begins another way of reading it.
const script = bundled.outputFiles[0].text.replaceAll(/<\/(script)/gi, "<\\/$1").replaceAll("<!--", "<\\!--");
const styles = await build({ entryPoints: ["src/style.css"], bundle: true, minify: true, write: false, outdir: "out" });
const style = styles.outputFiles[0].text + readFileSync("node_modules/uplot/dist/uPlot.min.css", "utf8");

const hash = (text) => `'sha256-${createHash("sha256").update(text, "utf8").digest("base64")}'`;
const policy = [
  "default-src 'none'", `script-src ${hash(script)}`, `style-src ${hash(style)}`, "img-src data: blob:",
  "base-uri 'none'", "form-action 'none'", "require-trusted-types-for 'script'", "trusted-types 'none'",
].join("; ");

const licences = ["three", "uplot"].map((name) => {
  const text = readFileSync(`node_modules/${name}/LICENSE`, "utf8").trim();
  return `${name} ${JSON.parse(readFileSync(`node_modules/${name}/package.json`, "utf8")).version}\n\n${text}`;
});
const escaped = (text) => text.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll(">", "&gt;");

const page = readFileSync("src/shell.html", "utf8")
  .replace("{{policy}}", () => policy)
  .replace("{{style}}", () => style)
  .replace("{{licences}}", () => escaped(licences.join("\n\n")))
  .replace("{{script}}", () => script);
mkdirSync(dirname(out), { recursive: true });
writeFileSync(`${out}.part`, page);
renameSync(`${out}.part`, out);
