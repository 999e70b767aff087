import assert from "node:assert/strict";
import { test } from "node:test";
import type { Row } from "./resonances.ts";
import { filtered, sorted } from "./table.ts";

const row = (number: number, frequency: number, overStrict: number | null, verdict: string, boards: string[]): Row => ({
  number, frequency, overStrict, verdict, name: boards.join(" and "), low: null, high: null, q: 10, ring: 0.1, level: overStrict, levelLow: null,
  levelHigh: null, strict: 0, lenient: 0, place: "axis", oddsAudible: 0, oddsHeard: 0.5, boards: boards.map((name) => ({ name, share: 1 })),
  through: "", reason: "", antinodes: [], wrinkle: null });
const rows = [row(1, 200, -9, "inaudible", ["front"]), row(2, 270, -3, "borderline", ["front", "left"]), row(3, 350, null, "not judged", ["left"])];
const numbers = (list: Row[]) => list.map((one) => one.number);

// Reference: the orders written out by hand. Tolerance: none, these are lists.
test("rows without a figure stand last either way", () => {
  assert.deepEqual(numbers(sorted(rows, { key: "over", descends: true })), [2, 1, 3]);
  assert.deepEqual(numbers(sorted(rows, { key: "over", descends: false })), [1, 2, 3]);
});

test("words and numbers sort as such", () => {
  assert.deepEqual(numbers(sorted(rows, { key: "verdict", descends: false })), [2, 1, 3]);
  assert.deepEqual(numbers(sorted(rows, { key: "frequency", descends: true })), [3, 2, 1]);
});

test("filters by word, verdict and board together", () => {
  const all = { words: "", verdict: "", board: null };
  assert.deepEqual(numbers(filtered(rows, all)), [1, 2, 3]);
  assert.deepEqual(numbers(filtered(rows, { ...all, board: "left" })), [2, 3]);
  assert.deepEqual(numbers(filtered(rows, { ...all, board: "left", verdict: "borderline" })), [2]);
  assert.deepEqual(numbers(filtered(rows, { ...all, words: "front LEFT" })), [2]);
  assert.deepEqual(numbers(filtered(rows, { ...all, words: "nothing" })), []);
});
