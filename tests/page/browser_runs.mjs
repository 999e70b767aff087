// Pages of the verbs that weigh cabinets against each other, explain what was measured, or go to the workshop.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { test } from "node:test";
import { hindrances, made, opened, out, program } from "./pages.mjs";

const wrinkle = "examples/09-wrinkle-of-a-wall", choose = "examples/13-choose-before-cutting/cabinet.yaml";
const asText = (value, digits) => value.toFixed(digits).replace("-", "−").replace(/^−(0\.?0*)$/, "$1");
const cells = (page, section, column) => page.locator(`#${section} tbody tr`).evaluateAll((rows, c) => rows.map((row) => row.children[c].textContent), column);

/** Opens, looks for hindrances and complaints, leaves a picture; `look` does the rest. */
async function looked(run, look, colorScheme = "light") {
  const page = await opened(run.page, { bypassCSP: true, colorScheme });
  await look(page);
  assert.deepEqual(await hindrances(page), []);
  await page.screenshot({ path: join(out, `${run.name}.png`), fullPage: true });
  assert.deepEqual(page.complaints, []);
  await page.setViewportSize({ width: 400, height: 800 });
  await page.waitForTimeout(200);
  assert.equal(await page.evaluate(() => document.documentElement.scrollWidth), 400, "something sticks out at 400 px");
  const boxes = [...(await page.pdf({ preferCSSPageSize: true, printBackground: true })).toString("latin1").matchAll(/\/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)/g)];
  // Reference: A4, 595.3 × 841.9 points. Tolerance: a point, chromium rounds the paper to pixels.
  assert.ok(boxes.length > 0 && boxes.length < 15 && boxes.every(([, w, h]) => Math.abs(w - 595.3) < 1 && Math.abs(h - 841.9) < 1.5), `${boxes.length} pages`);
  await page.context().close();
}

test("compare: schemes side by side, curves over each other", async () => {
  const run = made("compare", choose, "--accuracy", "draft", "--upper", "500"), { json } = run;
  await looked(run, async (page) => {
    // Reference: the run's JSON. Tolerance: none, texts and counts.
    assert.deepEqual(await cells(page, "schemes", 0), json.schemes.map((scheme) => scheme.name));
    const first = json.schemes[0];
    assert.equal(await page.locator("#followed tbody tr").count(), first.modes.filter((mode) => mode.kind === "wall").length);
    const names = await page.locator("#plot-walls .keys li").allTextContents();
    assert.deepEqual(names, json.schemes.map((scheme) => scheme.name));
    await page.locator("#plot-impedance .plot").focus();
    await page.keyboard.press("ArrowRight");
    const readout = await page.locator("#plot-impedance .readout").textContent();
    assert.ok(readout.includes(`${first.name} ${asText(first.curves.impedance_ohm[0], 2)} ohm`), readout);
    assert.ok((await page.locator(".answer").textContent()).includes(json.schemes[json.best_first[0]].name));
  });
});

test("vary: a plot over the values, and all rows", async () => {
  const run = made("vary", "examples/01-small-two-way/cabinet.yaml", "--change", "boards.all.thickness", "--over", "12, 15, 18", "--upper", "500"), { json } = run;
  await looked(run, async (page) => {
    assert.equal(json.rows.length, 3);
    // Reference: the run's JSON. Tolerance: none, texts.
    assert.deepEqual(await cells(page, "rows", 1), json.rows.map((row) => `${asText(row.first_wall_mode_hz, 0)} Hz, ${row.first_board}`));
    await page.locator("#plot-modes .plot").focus();
    for (let k = 0; k < 2; ++k) await page.keyboard.press("ArrowRight");
    const readout = await page.locator("#plot-modes .readout").textContent();
    assert.ok(readout.includes("15") && readout.includes(`lowest ${asText(json.rows[1].first_wall_mode_hz, 0)} Hz`), readout);
    // Beyond the sill of rounding, thicker boards ring higher: the best is the thickest.
    assert.equal(json.rows[json.best_first[0]].values[0], "18");
  });
});

test("improve: the front as plot and table, number 1 to paste", async () => {
  const run = made("improve", choose, "--upper", "400", "--tries", "4"), { json } = run;
  await looked(run, async (page) => {
    // Reference: the run's JSON. Tolerance: none, texts.
    assert.deepEqual(await cells(page, "front", 0), ["as drawn", ...json.front.map((_, k) => String(k + 1))]);
    const kg = (await page.locator("#front thead th").allTextContents()).indexOf("kg");
    assert.deepEqual(await cells(page, "front", kg), [json.drawn, ...json.front].map((one) => asText(one.mass_kg, 2)));
    if (json.front[0].variant) assert.equal(await page.locator("#front pre").textContent(), json.front[0].variant);
  });
});

test("explain: readings with odds, measured over computed impedance", async () => {
  const run = made("explain", `${wrinkle}/cabinet.yaml`, "--impedance", `${wrinkle}/in_box.txt`, "--accuracy", "draft"), { json } = run;
  await looked(run, async (page) => {
    // Reference: the run's JSON. Tolerance: none, texts.
    assert.deepEqual(await cells(page, "readings", 5), json.readings.map(({ causes: [{ odds }] }) =>
      odds > 0.995 ? "> 99 %" : `${asText(100 * odds, 0)} %`));
    assert.ok(json.impedance.measured.ohm.length > 100 && json.impedance.computed.ohm.length > 50);
    await page.locator("#plot-impedance .plot").focus();
    await page.keyboard.press("ArrowRight");
    const readout = await page.locator("#plot-impedance .readout").textContent();
    assert.match(readout, /measured|computed/);
    assert.ok((await page.locator("#readings").textContent()).includes(json.readings[0].causes[0].name));
  }, "dark");
});

test("knock: tones with their Q, and the spectrum", async () => {
  execFileSync("python3", [resolve("examples/knock-01-side-wall/make_knock.py")], { cwd: out });
  const run = made("knock", join(out, "knock.wav")), { json } = run;
  await looked(run, async (page) => {
    // Reference: the run's JSON. Tolerance: none, texts.
    assert.deepEqual(await cells(page, "tones", 0), json.modes.map((mode) => asText(mode.frequency_hz, 1)));
    assert.deepEqual(await cells(page, "tones", 2), json.modes.map((mode) => asText(mode.q, 0)));
    // Reference: 0 dB is the strongest line by definition. Tolerance: round-off.
    assert.ok(Math.abs(Math.max(...json.spectrum.level_db)) < 1e-9);
    assert.equal(await page.locator("#plot-spectrum").count(), 1);
  });
});

test("workshop: cut list, boards to buy, drawings as pictures", async () => {
  const run = made("workshop", choose), { json } = run;
  await looked(run, async (page) => {
    // Reference: the run's JSON. Tolerance: none, texts and counts.
    assert.deepEqual(await cells(page, "cut-list", 0), json.parts.map((part) => part.name));
    assert.equal(await page.locator("#buying tbody tr").count(), json.boards.length);
    const widths = await page.locator("#drawings img").evaluateAll((all) => all.map((one) => one.naturalWidth));
    assert.equal(widths.length, json.parts.length + (json.boards.length > 0 ? 1 : 0));
    assert.ok(widths.every((width) => width > 0), "a drawing is not drawn");
  });
});

test("report: what the file allows on one page, the boards analysed once", async () => {
  const page7 = join(out, "report.html"), files = "examples/12-learned-board/in_box.txt";
  execFileSync(program, ["report", "examples/07-vented-two-way/vented.yaml", "--out", page7, "--accuracy", "draft", "--no-advice", "--impedance", files], { stdio: ["ignore", "ignore", "inherit"] });
  const text = readFileSync(page7, "utf8");
  const verbs = [...text.matchAll(/<script type="application\/json" data-result="(\w+)"/g)].map(([, verb]) => verb);
  assert.deepEqual(verbs, ["check", "sound", "explain", "workshop"]);
  assert.equal([...text.matchAll(/data-geometry=/g)].length, 1); // nothing is made to be thrown away
  assert.ok(text.length < 3e6, `${text.length} bytes`);
  const page = await opened(page7);
  const order = await page.locator("main section").evaluateAll((all) => all.map((one) => one.id));
  const places = ["view", "resonances", "plots", "readings", "cut-list", "method"].map((id) => order.indexOf(id));
  assert.ok(places.every((at, k) => at >= 0 && (k === 0 || at > places[k - 1])), order.join(" "));
  assert.equal(new Set(order).size, order.length, "two sections have one name");
  assert.deepEqual(page.complaints, []);
  await page.context().close();
});

test("the bench's record: what is out of tolerance is flagged", async () => {
  const run = made("modes", "examples/format/bench.yaml", "--accuracy", "draft", "--no-advice", "--upper", "300");
  await looked(run, async (page) => {
    // Reference: examples/format/bench.yaml by hand: 15.6 g against 14.5 ± 0.725; 1.47 mH against 1.5 ± 0.075; 18.2 mm
    // against 18 ± 0.3; 0.4 dB with nothing to hold it against. Tolerance: none, texts.
    assert.deepEqual(await cells(page, "bench", 5), ["no", "yes", "yes", "–"]);
    assert.deepEqual(await cells(page, "bench", 3), ["+1.1", "−0.03", "+0.2", "–"]);
    assert.match(await page.locator("#bench p").first().textContent(), /moving mass of the woofer/);
  });
});
