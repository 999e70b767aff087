import assert from "node:assert/strict";
import { test } from "node:test";
import { bandWords, fixed, inWords, significant, signed } from "./numbers.ts";

// Reference: rounding by hand. Tolerance: none, these are texts.
test("figures carry a true minus and no minus zero", () => {
  assert.equal(fixed(-11.568, 0), "−12");
  assert.equal(fixed(-0.04, 1), "0.0");
  assert.equal(signed(0.094, 2), "+0.09");
  assert.equal(signed(0.001, 2), "0.00");
  assert.equal(signed(-0.0553, 2), "−0.06");
});

test("significant digits", () => {
  assert.equal(significant(47.03, 2), "47");
  assert.equal(significant(409.2, 2), "410");
  assert.equal(significant(0.01069, 2), "0.011");
  assert.equal(significant(0, 2), "0");
});

test("a band is told from the value", () => assert.equal(bandWords(269.2, 239.2, 305.4), "+36/−30"));

test("small counts are words", () => {
  assert.equal(inWords(0), "no");
  assert.equal(inWords(13), "13");
});
