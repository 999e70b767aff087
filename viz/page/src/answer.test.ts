import assert from "node:assert/strict";
import { test } from "node:test";
import { answerOf, figuresOf } from "./answer.ts";
import type { Row } from "./resonances.ts";

const row = (number: number, verdict: string, overStrict: number | null): Row => ({
  number, verdict, overStrict, frequency: 100 * number, name: `board ${number}`, low: null, high: null, q: 10, ring: 0.1, level: overStrict, levelLow: null,
  levelHigh: null, strict: 0, lenient: 0, place: "axis", oddsAudible: 0, oddsHeard: 0, boards: [], through: "", reason: `reason ${number}`,
  antinodes: [], wrinkle: null });

// Reference: the sentences written out by hand. Tolerance: none, these are texts.
test("the answer counts what was judged and names the clearest", () => {
  const rows = [row(1, "not judged", null), row(2, "inaudible", -20), row(3, "borderline", -3)];
  assert.equal(answerOf(rows, true, 1500), "Of 2 resonances below 1500 Hz, none is loud enough to be heard in music and one is borderline: " +
    "trained ears may notice it in noise. The clearest is board 3 at 300 Hz: reason 3.");
  assert.equal(figuresOf(rows, undefined)[0].value, "1 of 2");
});

test("audible ones, none at all, and a cabinet that was not played", () => {
  assert.match(answerOf([row(1, "audible", 4), row(2, "audible", 1)], true, 800), /two are loud enough .* and none is borderline\. The clearest is board 1/);
  assert.match(answerOf([row(1, "inaudible", -9)], true, 800), /none is loud enough to be noticed/);
  assert.match(answerOf([row(1, "not played", null)], false, 800), /could not be played/);
  assert.match(answerOf([], true, 800), /no resonance below 800 Hz/);
});
