// Blue for inwards, orange for outwards: fixed points in CIELAB whose lightness falls by equal amounts to both sides,
// as in the pictures of a run.

type Triple = [number, number, number];
const points: Triple[] = [[37, 5, -44], [66, -6, -34], [95, 0, 2], [66, 26, 52], [37, 31, 45]];

/** CIELAB (D65) to sRGB, 0 … 1; CIE 15 and IEC 61966-2-1. */
export function labToRgb([L, a, b]: Triple): Triple {
  const knee = 6 / 29;
  const inverse = (t: number) => (t > knee ? t ** 3 : 3 * knee * knee * (t - 4 / 29));
  const fy = (L + 16) / 116;
  const [x, y, z] = [0.95047 * inverse(fy + a / 500), inverse(fy), 1.08883 * inverse(fy - b / 200)];
  const encode = (linear: number) => {
    const c = Math.min(1, Math.max(0, linear));
    return c <= 0.0031308 ? 12.92 * c : 1.055 * c ** (1 / 2.4) - 0.055;
  };
  return [
    encode(3.2404542 * x - 1.5371385 * y - 0.4985314 * z),
    encode(-0.969266 * x + 1.8760108 * y + 0.041556 * z),
    encode(0.0556434 * x - 0.2040259 * y + 1.0572252 * z),
  ];
}

/** The colour of −1 (inwards) … 1 (outwards), each 0 … 1. */
export function diverging(value: number): Triple {
  const place = 2 * (Math.min(1, Math.max(-1, value)) + 1);
  const low = Math.min(Math.floor(place), 3);
  const w = place - low;
  return labToRgb([0, 1, 2].map((c) => (1 - w) * points[low][c] + w * points[low + 1][c]) as Triple);
}

export const steps = 32;
/** Evenly spaced colours from −1 to 1, steps + 1 of them, r, g, b in turn. */
export function table(): Float32Array {
  const colours = new Float32Array(3 * (steps + 1));
  for (let i = 0; i <= steps; ++i) colours.set(diverging((2 * i) / steps - 1), 3 * i);
  return colours;
}
