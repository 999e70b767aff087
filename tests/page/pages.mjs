// What the tests of pages share: real runs, and a real browser (Debian's chromium, without a graphics card). Environment:
// STILLWALL the program, PAGE_STAGE the folder with the page's libraries, PAGE_ARTEFACTS where screenshots and prints are
// left. Skipped (77) where there is no chromium.
import { execFileSync } from "node:child_process";
import { existsSync, mkdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { after, before } from "node:test";
import { pathToFileURL } from "node:url";

const { STILLWALL, PAGE_STAGE: stage, PAGE_ARTEFACTS } = process.env;
export const program = STILLWALL, out = PAGE_ARTEFACTS;
const library = createRequire(join(stage, "package.json"));
const { chromium } = library("playwright-core");
export const axe = readFileSync(library.resolve("axe-core/axe.min.js"), "utf8");
const browserFile = ["/usr/bin/chromium", "/usr/bin/chromium-browser"].find(existsSync);
if (!browserFile) {
  console.log("chromium is not installed");
  process.exit(77);
}
const gl = ["--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader"];
export const vented = "examples/07-vented-two-way/vented.yaml";
export const quick = ["--accuracy", "draft", "--no-advice"];

mkdirSync(out, { recursive: true });
const runs = new Map();
export const drawsNothing = { modes: ["--no-pictures"], sound: ["--no-plots"], compare: ["--no-pictures"], vary: ["--no-plots"], improve: ["--no-plots"], explain: ["--no-pictures"], knock: [], workshop: ["--no-drawings"] };
/** A page of one run, made once; the JSON of the same run beside it. */
export function made(verb, file, ...options) {
  const name = [verb, file.replace(/^.*examples\/|\.yaml$/g, ""), ...options].join("-").replace(/[^\w-]+/g, "_").slice(0, 120);
  if (!runs.has(name)) {
    const page = join(out, `${name}.html`), json = join(out, `${name}.json`);
    const csv = verb === "vary" ? ["--csv", join(out, `${name}.csv`), "--afresh"] : [];
    execFileSync(program, [verb, file, ...options, ...drawsNothing[verb], ...csv, "--report", page, "--json", json], { stdio: ["ignore", "ignore", "inherit"] });
    runs.set(name, { page, json: JSON.parse(readFileSync(json, "utf8")), name });
  }
  return runs.get(name);
}

let browser;
before(async () => {
  browser = await chromium.launch({ executablePath: browserFile, args: [...gl, ...(process.getuid() === 0 ? ["--no-sandbox"] : [])] });
});
after(() => browser?.close());

/** A page opened from disk; complaints of the console and failed scripts are gathered. */
export async function opened(file, options = {}) {
  const context = await browser.newContext({ viewport: { width: 1200, height: 900 }, reducedMotion: "reduce", ...options });
  context.setDefaultTimeout(120_000); // machines are busy at times
  const page = await context.newPage();
  page.complaints = [];
  page.on("console", (message) => { if (["error", "warning"].includes(message.type()) && !/GPU stall|swiftshader|GL Driver/i.test(message.text())) page.complaints.push(message.text()); });
  page.on("pageerror", (error) => page.complaints.push(error.message));
  page.on("request", (request) => { if (!/^(file|data|blob):/.test(request.url())) page.complaints.push(`asks for ${request.url()}`); });
  page.on("dialog", (dialog) => { page.complaints.push(`says ${dialog.message()}`); void dialog.dismiss(); });
  if (options.before) await page.addInitScript(options.before);
  await page.goto(pathToFileURL(file).href);
  await page.waitForSelector("#method");
  await page.waitForTimeout(300);
  return page;
}

/** What the checker of hindrances finds serious. The checker is a script of its own, which the page's policy rightly stops: open with bypassCSP. */
export async function hindrances(page) {
  await page.evaluate(axe);
  const { violations } = await page.evaluate(() => globalThis.axe.run());
  return violations.filter((one) => ["serious", "critical"].includes(one.impact))
    .map((one) => `${one.id}: ${one.nodes.slice(0, 3).map((node) => node.html.slice(0, 120)).join(" | ")}`);
}
