// Sounds made from the computed responses: what a listener hears of the direct sound alone, and with the walls.

import type { Complex } from "../results.ts";
import { transform } from "./fft.ts";

export interface Responses { frequency: number[]; direct: Complex; total: Complex }
export type Source = "noise" | "pulses";

/** Rates and length: two powers of two, so that one transform holds the whole. */
export const rate = 16384, length = 32768; // [1/s], samples: two seconds

/** Numbers from −1 to 1 that are the same on every machine (Park & Miller, Comm. ACM 31 (1988) 1192). */
function seeded(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state * 48271) % 2147483647;
    return (2 * state) / 2147483647 - 1;
  };
}

export function sourceSignal(source: Source): Float64Array {
  const signal = new Float64Array(length), next = seeded(7);
  if (source === "pulses") for (let at = 0; at < length; at += rate / 2) signal[at] = 1;
  // Half of it silent, so that what rings on is heard by itself.
  else for (let i = 0; i < length; ++i) signal[i] = i % rate < rate / 2 ? next() : 0;
  return signal;
}

/** Linear between the computed frequencies, in real and imaginary part; nothing outside them. Ends of the band are rounded. */
export function responseAt(f: number, frequency: number[], curve: Complex): [number, number] {
  const last = frequency.length - 1;
  if (f < frequency[0] || f > frequency[last]) return [0, 0];
  let low = 0, high = last;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (frequency[middle] <= f) low = middle;
    else high = middle;
  }
  const w = (f - frequency[low]) / (frequency[high] - frequency[low]);
  const edge = Math.min(1, (f - frequency[0]) / (2 * frequency[0]), (frequency[last] - f) / (0.1 * frequency[last]));
  const round = 0.5 - 0.5 * Math.cos(Math.PI * edge);
  return [curve.re, curve.im].map((part) => round * ((1 - w) * part[low] + w * part[high])) as [number, number];
}

/** direct + by · (total − direct), the walls' part raised by so many dB, driven by the source and brought to one level. */
export function heard(source: Source, { frequency, direct, total }: Responses, wallsBy: number | null): Float32Array {
  const re = sourceSignal(source), im = new Float64Array(length);
  transform(re, im);
  const gain = wallsBy === null ? 0 : 10 ** (wallsBy / 20);
  for (let k = 0; k <= length / 2; ++k) {
    const f = (k * rate) / length;
    const [a, b] = [responseAt(f, frequency, direct), responseAt(f, frequency, total)];
    const h = [0, 1].map((c) => a[c] + gain * (b[c] - a[c]));
    const [x, y] = [re[k] * h[0] - im[k] * h[1], re[k] * h[1] + im[k] * h[0]];
    [re[k], im[k]] = [x, y];
    if (k > 0 && k < length / 2) [re[length - k], im[length - k]] = [x, -y];
  }
  transform(re, im, true);
  const loudness = Math.sqrt(re.reduce((sum, value) => sum + value * value, 0) / length) || 1;
  const level = 0.08; // full scale 1: leaves room for the peaks of pulses
  const peak = re.reduce((most, value) => Math.max(most, Math.abs(value)), 0) || 1;
  const scale = Math.min(level / loudness, 0.95 / peak);
  return Float32Array.from(re, (value) => value * scale);
}
