// Makes the pictures of pages in the examples' READMEs, examples/NAME/page.png, anew: the first command of each README that
// can have a page, its first screen. From the repository root, with the environment that pages.mjs tells:
//     STILLWALL=build/bin/stillwall PAGE_STAGE=build/page PAGE_ARTEFACTS=build/pictures node tests/page/pictures.mjs [NAME …]
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync, readdirSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { test } from "node:test";
import { indexedPng } from "./indexed_png.mjs";
import { drawsNothing, opened, out, program } from "./pages.mjs";

const most = 100_000; // bytes
const size = { width: 1000, height: 1000 };

/** The README's first command whose verb has a page; without what it writes. */
function commandOf(readme) {
  const commands = [...readme.matchAll(/^ {4}stillwall (.*)$/gm)].map(([, words]) => words.split(/\s+/)).filter(([verb]) => verb in drawsNothing);
  const [first] = commands;
  if (!first) return null;
  const at = (k) => ["--json", "--csv", "--learn", "--out", "--modes-csv"].includes(first[k]);
  return first.filter((_, k) => !at(k) && !at(k - 1));
}

const wanted = process.argv.slice(2);
for (const name of readdirSync("examples", { withFileTypes: true }).filter((one) => one.isDirectory()).map((one) => one.name)) {
  if (wanted.length > 0 && !wanted.includes(name)) continue;
  const folder = join("examples", name);
  let readme = "";
  try {
    readme = readFileSync(join(folder, "README.md"), "utf8");
  } catch {
    continue; // the format's pages
  }
  const words = commandOf(readme);
  if (words)
    test(name, async () => {
      const file = join(out, `${name}.html`);
      if (words[0] === "knock") execFileSync("python3", [resolve(folder, "make_knock.py")], { cwd: out });
      const command = [...words.map((word) => (word === "knock.wav" ? join(out, word) : word)), ...drawsNothing[words[0]].filter((word) => !words.includes(word))];
      execFileSync(program, [...command, "--report", file], { stdio: ["ignore", "ignore", "inherit"] });
      const page = await opened(file, { viewport: size, bypassCSP: true, colorScheme: "light" });
      const shot = (await page.screenshot()).toString("base64");
      const pixels = await page.evaluate(async (base64) => {
        const picture = new Image();
        picture.src = `data:image/png;base64,${base64}`;
        await picture.decode();
        const canvas = Object.assign(document.createElement("canvas"), { width: picture.width, height: picture.height });
        const context = canvas.getContext("2d");
        context.drawImage(picture, 0, 0);
        const { data } = context.getImageData(0, 0, picture.width, picture.height);
        let text = "";
        for (let i = 0; i < data.length; i += 8192) text += String.fromCharCode(...data.subarray(i, i + 8192));
        return btoa(text);
      }, shot);
      const png = indexedPng(Buffer.from(pixels, "base64"), size.width, size.height);
      assert.ok(png.length <= most, `${png.length} bytes`);
      writeFileSync(join(folder, "page.png"), png);
      await page.context().close();
    });
}
