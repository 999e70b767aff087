// Pages of real runs in a real browser; see pages.mjs. STILLWALL_LONG: every example.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";
import { hindrances, made, opened, out, program, quick, vented } from "./pages.mjs";

const picture = (page) => page.locator(".frame canvas").screenshot();
const cells = (page, column) => page.locator(`#resonances tbody tr`).evaluateAll((rows, c) => rows.map((row) => row.children[c].textContent), column);
const columnOf = async (page, title) => (await page.locator("#resonances thead th").allTextContents()).indexOf(title);

const examples = process.env.STILLWALL_LONG
  ? ["01-small-two-way/cabinet", "02-tall-three-way/cabinet", "03-sloped-plywood/cabinet", "05-constrained-layer/patch-sides", "06-sealed-two-way/sealed", "08-tall-column/bare"]
  : ["02-tall-three-way/cabinet", "03-sloped-plywood/cabinet"];
for (const example of examples.map((name) => `examples/${name}.yaml`))
  test(`${example} opens from disk without a complaint`, async () => {
    const { page: file, name, json } = made("modes", example, ...quick);
    const page = await opened(file);
    // Reference: the run's JSON. Tolerance: none, a count of rows.
    assert.equal(await page.locator("#resonances tbody tr").count(), json.modes.length);
    const { calls, triangles } = await page.locator(".frame").evaluate((frame) => ({ ...frame.dataset }));
    assert.ok(calls >= 2 && calls <= 20 && triangles > 0 && triangles <= 60_000, `${triangles} triangles in ${calls} calls`);
    await page.screenshot({ path: join(out, `${name}.png`) });
    assert.deepEqual(page.complaints, []);
    await page.context().close();
  });

test("example 7 with advice is small, is drawn cheaply and shows the JSON's values", async () => {
  const { page: file, json } = made("sound", vented, "--accuracy", "draft");
  assert.ok(statSync(file).size <= 3e6, `${statSync(file).size} bytes`);
  const page = await opened(file);
  await page.screenshot({ path: join(out, "sound-first-screen.png") });
  // Reference: the JSON of the same run, rounded as the table says it does. Tolerance: none, these are texts.
  const byNumber = new Map(json.modes.map((mode) => [String(mode.number), mode]));
  const [no, hz, level, verdict] = await Promise.all([cells(page, 0), cells(page, await columnOf(page, "Hz")), cells(page, await columnOf(page, "Level")), cells(page, await columnOf(page, "Verdict"))]);
  assert.equal(no.length, json.modes.length);
  no.forEach((number, k) => {
    const mode = byNumber.get(number), heard = mode.heard.find((one) => one.place === mode.worst_place);
    assert.ok(hz[k].startsWith(mode.frequency_hz.toFixed(0)), `${number}: ${hz[k]}`);
    assert.equal(level[k], heard ? `${heard.level_db.toFixed(0).replace("-", "−").replace(/^−0$/, "0")} dB` : "–");
    assert.equal(verdict[k], heard?.verdict ?? "not judged");
  });
  const figure = await page.locator(".figures dd").first().textContent();
  assert.equal(figure, `${json.answer.audible + json.answer.borderline} of ${json.answer.resonances}`);
  assert.equal(await page.locator("#changes tbody tr").count(), json.advice.changes.length);
  assert.deepEqual(page.complaints, []);
  await page.context().close();
});

test("values under the arrow keys are the JSON's, and the CSV holds them all", async () => {
  const { page: file, json } = made("sound", vented, "--accuracy", "draft");
  const page = await opened(file);
  const plot = page.locator("#plot-impedance");
  await plot.locator(".plot").focus();
  for (let k = 0; k < 3; ++k) await page.keyboard.press("ArrowRight");
  const readout = await plot.locator(".readout").textContent();
  const ohm = (curve, i) => Math.hypot(curve.re[i], curve.im[i]);
  // Reference: the JSON, to the digits of the readout. Tolerance: none, a text.
  assert.ok(readout.includes(`${json.ways[0].name} ${ohm(json.ways[0].impedance_ohm, 2).toFixed(2)} ohm`), readout);
  const [file7] = await Promise.all([page.waitForEvent("download"), plot.getByRole("button", { name: "CSV" }).click()]);
  const lines = readFileSync(await file7.path(), "utf8").trim().split("\n");
  assert.equal(lines.length, 1 + json.frequency_hz.length);
  // Reference: the JSON. Tolerance: round-off of a square root, 1e-12.
  lines.slice(1).forEach((line, i) => {
    const [f, first] = line.split(",").map(Number);
    assert.equal(f, json.frequency_hz[i]);
    assert.ok(Math.abs(first / ohm(json.ways[0].impedance_ohm, i) - 1) < 1e-12);
  });
  const [png] = await Promise.all([page.waitForEvent("download"), plot.getByRole("button", { name: "PNG" }).click()]);
  assert.equal(readFileSync(await png.path()).subarray(1, 4).toString(), "PNG");
  assert.deepEqual(page.complaints, []);
  await page.context().close();
});

test("the mode picker, strength, boards apart, flat, fading and turning change the picture", async () => {
  const { page: file } = made("sound", vented, "--accuracy", "draft");
  const page = await opened(file);
  let last = await picture(page);
  const changes = async (what, act) => {
    await act();
    await page.waitForTimeout(250);
    const now = await picture(page);
    assert.ok(!now.equals(last), `${what} changed nothing`);
    last = now;
  };
  const options = await page.locator("#mode-picker option").evaluateAll((all) => all.map((one) => one.value));
  assert.ok(options.length > 5);
  await changes("the picker", () => page.selectOption("#mode-picker", options[4]));
  await changes("strength", () => page.locator("#strength").fill("95"));
  await changes("boards apart", () => page.locator("#apart").fill("70"));
  await page.screenshot({ path: join(out, "view-apart.png") });
  await changes("fading", async () => { await page.getByText("Fade boards").click(); await page.locator(".boxes input").first().uncheck(); });
  await changes("turning by keys", async () => { await page.locator(".frame").focus(); await page.keyboard.press("ArrowLeft"); });
  await changes("turning by hand", async () => {
    const box = await page.locator(".frame").boundingBox();
    await page.mouse.move(box.x + 200, box.y + 200);
    await page.mouse.down();
    await page.mouse.move(box.x + 320, box.y + 240, { steps: 4 });
    await page.mouse.up();
  });
  await changes("laying flat", () => page.getByRole("button", { name: /flat/ }).click());
  await page.screenshot({ path: join(out, "view-flat.png") });
  await changes("another mode", () => page.selectOption("#mode-picker", options[0]));
  assert.deepEqual(page.complaints, []);
  await page.context().close();
});

test("who does not ask for stillness sees the mode move", async () => {
  const { page: file } = made("sound", vented, "--accuracy", "draft");
  const page = await opened(file, { reducedMotion: "no-preference" });
  const one = await picture(page);
  await page.waitForTimeout(350);
  assert.ok(!(await picture(page)).equals(one));
  await page.context().close();
});

test("the table sorts, filters, drives the view and follows a click on a board", async () => {
  const { page: file } = made("sound", vented, "--accuracy", "draft");
  const page = await opened(file);
  const hz = await columnOf(page, "Hz");
  await page.locator("#resonances thead button", { hasText: /^Hz$/ }).click();
  const up = (await cells(page, hz)).map(parseFloat);
  // Reference: the numbers sorted here. Tolerance: none, these are lists.
  assert.deepEqual(up, [...up].sort((a, b) => a - b));
  await page.locator("#resonances thead button", { hasText: /^Hz$/ }).click();
  assert.deepEqual((await cells(page, hz)).map(parseFloat), [...up].reverse());
  await page.selectOption("#verdict-filter", "borderline");
  const verdicts = await cells(page, await columnOf(page, "Verdict"));
  assert.ok(verdicts.length > 0 && verdicts.length < up.length && verdicts.every((word) => word === "borderline"));
  await page.selectOption("#verdict-filter", "");
  await page.locator("#word-filter").fill("front");
  assert.ok((await cells(page, 0)).length < up.length);
  await page.locator("#word-filter").fill("");
  const before = await picture(page);
  const wanted = page.locator("#resonances tbody tr", { hasText: "left" }).last();
  await wanted.locator("button").click();
  assert.match(await wanted.getAttribute("class"), /chosen/);
  await page.waitForTimeout(250);
  assert.ok(!(await picture(page)).equals(before));
  const frame = await page.locator(".frame").boundingBox();
  await page.mouse.click(frame.x + frame.width / 2, frame.y + frame.height / 2);
  const board = await page.locator("#board-filter").inputValue();
  assert.notEqual(board, "");
  assert.ok((await cells(page, 0)).length < up.length);
  await page.context().close();
});

test("everything is reached by the keyboard alone", async () => {
  const { page: file } = made("modes", vented, ...quick);
  const page = await opened(file);
  const reached = new Set();
  for (let k = 0; k < 80; ++k) {
    await page.keyboard.press("Tab");
    reached.add(await page.evaluate(() => {
      const now = document.activeElement;
      return now.id || now.className || now.textContent;
    }));
  }
  for (const what of ["frame", "mode-picker", "strength", "apart", "word-filter", "board-filter", "verdict-filter", "Moves"])
    assert.ok(reached.has(what), `${what} was not reached: ${[...reached].slice(0, 30)}`);
  const row = page.locator("#resonances tbody tr").nth(3);
  await row.locator("button").focus();
  await page.keyboard.press("Enter");
  assert.match(await row.getAttribute("class"), /chosen/);
  await page.context().close();
});

for (const colorScheme of ["light", "dark"])
  test(`axe finds nothing serious, ${colorScheme}`, async () => {
    const { page: file } = made("sound", vented, "--accuracy", "draft");
    const page = await opened(file, { colorScheme, bypassCSP: true });
    assert.deepEqual(await hindrances(page), []);
    await page.screenshot({ path: join(out, `whole-${colorScheme}.png`), fullPage: true });
    await page.context().close();
  });

test("without WebGL the cabinet is drawn plainly, and a sentence says so", async () => {
  const { page: file } = made("sound", vented, "--accuracy", "draft");
  const page = await opened(file, { before: () => {
    const real = HTMLCanvasElement.prototype.getContext;
    HTMLCanvasElement.prototype.getContext = function (kind, ...rest) { return /webgl/.test(kind) ? null : real.call(this, kind, ...rest); };
  } });
  assert.match(await page.locator("#view .note").first().textContent(), /no WebGL/);
  assert.deepEqual(page.complaints, []);
  const one = await picture(page);
  const options = await page.locator("#mode-picker option").evaluateAll((all) => all.map((option) => option.value));
  await page.selectOption("#mode-picker", options[3]);
  await page.waitForTimeout(300);
  assert.ok(!(await picture(page)).equals(one));
  await page.screenshot({ path: join(out, "without-webgl.png") });
  await page.context().close();
});

test("400 pixels wide, nothing sticks out", async () => {
  for (const verb of ["sound", "modes"]) {
    const { page: file } = verb === "sound" ? made("sound", vented, "--accuracy", "draft") : made("modes", vented, ...quick);
    const page = await opened(file, { viewport: { width: 400, height: 800 } });
    assert.equal(await page.evaluate(() => document.documentElement.scrollWidth), 400);
    await page.screenshot({ path: join(out, `narrow-${verb}.png`), fullPage: true });
    await page.context().close();
  }
});

test("prints to A4 pages", async () => {
  const { page: file } = made("sound", vented, "--accuracy", "draft");
  const page = await opened(file, { colorScheme: "dark" });
  const pdf = await page.pdf({ path: join(out, "printed.pdf"), preferCSSPageSize: true, printBackground: true });
  const text = pdf.toString("latin1");
  const boxes = [...text.matchAll(/\/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)/g)];
  assert.ok(boxes.length >= 3 && boxes.length <= 14, `${boxes.length} pages`);
  // Reference: A4, 210 × 297 mm in points of 1/72 inch. Tolerance: a point, chromium rounds the paper to pixels.
  for (const [, width, height] of boxes) assert.ok(Math.abs(width - 595.3) < 1 && Math.abs(height - 841.9) < 1.5, `${width} × ${height}`);
  await page.context().close();
});

test("names and notes that are markup are shown as text", async () => {
  // The reader lets no such name through, but a file may be called so; names are put into a page that was written.
  const called = "<img src=x onerror=alert(1)><!--.yaml", evil = "<img src=x onerror=alert(1)></script><script>alert(1)</script><!--";
  const file = join(out, called), target = join(out, "hostile.html");
  writeFileSync(file, readFileSync(vented));
  execFileSync(program, ["sound", file, ...quick, "--no-plots", "--report", target], { stdio: ["ignore", "ignore", "inherit"] });
  const safe = JSON.stringify(evil).replaceAll("<", "\\u003c");
  writeFileSync(target, readFileSync(target, "utf8").replace(/"(name|board|place|reason|change|source|title|caution|fitting)":( ?)"[^"]*"/g, `"$1":$2${safe.replaceAll("$", "$$$$")}`));
  const page = await opened(target);
  // Reference: the name that was written. Tolerance: none, a text.
  assert.equal(await page.locator("h1").textContent(), evil);
  assert.equal(await page.locator("img, main script").count(), 0);
  const text = await page.locator("main").textContent();
  assert.ok(text.includes(evil) && text.includes(called));
  assert.deepEqual(page.complaints, []);
  await page.screenshot({ path: join(out, "hostile.png") });
  await page.context().close();
});

test("no script but its own runs", async () => {
  const { page: file } = made("modes", vented, ...quick);
  const broken = join(out, "with-another-script.html");
  writeFileSync(broken, readFileSync(file, "utf8").replace("</body>", "<script>document.title = 'bad'</script><p onclick=\"document.title='bad'\">x</p></body>"));
  const page = await opened(broken);
  await page.locator("p[onclick]").click();
  assert.notEqual(await page.title(), "bad");
  assert.ok(page.complaints.some((line) => /Content Security Policy/.test(line)));
  await page.context().close();
});
