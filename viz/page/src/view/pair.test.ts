import assert from "node:assert/strict";
import { test } from "node:test";
import { strengths } from "./pair.ts";

test("movement goes by level, the louder at full size", () => {
  // Reference: 20 dB are a factor of ten, by the definition. Tolerance: round-off.
  const [a, b] = strengths([-10, -30]);
  assert.equal(a, 1);
  assert.ok(Math.abs(b - 0.1) < 1e-12);
  assert.deepEqual(strengths([null, -30]), [1, 1]);
  assert.deepEqual(strengths([null, null]), [1, 1]);
});
