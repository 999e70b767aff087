import assert from "node:assert/strict";
import { test } from "node:test";
import { transform } from "./fft.ts";
import { heard, length, rate, responseAt, sourceSignal } from "./made.ts";

// Reference: the sum written out. Tolerance: round-off of eight terms, 1e-12.
test("the transform is the discrete Fourier sum, and goes back", () => {
  const x = [1, -2, 3, 0.5, -1, 4, 0, 2], re = Float64Array.from(x), im = new Float64Array(8);
  transform(re, im);
  x.forEach((_, k) => {
    const sum = x.reduce((s, value, i) => [s[0] + value * Math.cos((2 * Math.PI * k * i) / 8), s[1] - value * Math.sin((2 * Math.PI * k * i) / 8)], [0, 0]);
    assert.ok(Math.hypot(re[k] - sum[0], im[k] - sum[1]) < 1e-12);
  });
  transform(re, im, true);
  x.forEach((value, i) => assert.ok(Math.abs(re[i] / 8 - value) < 1e-12));
  assert.throws(() => transform(new Float64Array(6), new Float64Array(6)));
});

const frequency = Array.from({ length: 200 }, (_, i) => 20 * 75 ** (i / 199)); // 20 to 1500 Hz
const flat = { re: frequency.map(() => 1), im: frequency.map(() => 0) };
/** One resonance at 300 Hz, Q 40, 12 dB under the direct sound at its peak. */
const total = (() => {
  const at = frequency.map((f) => {
    const [c, d] = [1 - (f / 300) ** 2, f / 300 / 40];
    const size = 0.25 / 40 / (c * c + d * d);
    return [size * d, size * c]; // 0.25 at the peak, in phase
  });
  return { re: at.map((p) => 1 + p[0]), im: at.map((p) => p[1]) };
})();
const power = (x: Float32Array, from: number, to: number) => x.slice(from, to).reduce((sum, value) => sum + value * value, 0);

// Reference: linear interpolation by hand. Tolerance: round-off, 1e-12.
test("responses are straight between frequencies and nothing outside", () => {
  const [re] = responseAt(150, [20, 100, 200, 4000], { re: [1, 1, 3, 3], im: [0, 0, 0, 0] });
  assert.ok(Math.abs(re - 2) < 1e-12);
  assert.deepEqual(responseAt(99, [100, 200], { re: [1, 3], im: [0, 0] }), [0, 0]);
});

test("a wall rings on when the noise has stopped, the louder the more; all at one level", () => {
  const made = [null, 0, 10].map((by) => heard("noise", { frequency, direct: flat, total }, by));
  const tails = made.map((x) => power(x, Math.round(0.56 * rate), Math.round(0.7 * rate)));
  // Reference: the direct sound is flat and ends with the noise; the walls' part of the tail grows with its gain, 10 dB in
  // power ten times. Tolerance: a fifth for the rounded band's own short tail and the common level.
  assert.ok(tails[1] > 20 * tails[0], `${tails}`);
  assert.ok(Math.abs(tails[2] / tails[1] - 10) < 2, `${tails[2] / tails[1]}`);
  // Reference: one level for all. Tolerance: single precision, 1e-5.
  const whole = made.map((x) => power(x, 0, length));
  for (const one of whole) assert.ok(Math.abs(one / whole[0] - 1) < 1e-5);
});

test("a source is the same every time", () => assert.deepEqual(sourceSignal("noise").slice(0, 50), sourceSignal("noise").slice(0, 50)));
