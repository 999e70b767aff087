// A small PNG of a picture with few colours: a palette of the commonest, each pixel by its nearest.
import { deflateSync } from "node:zlib";

function crc32(bytes) {
  let crc = ~0;
  for (const byte of bytes) {
    crc ^= byte;
    for (let k = 0; k < 8; ++k) crc = crc & 1 ? (crc >>> 1) ^ 0xedb88320 : crc >>> 1;
  }
  return ~crc >>> 0;
}

function chunk(kind, data) {
  const body = Buffer.concat([Buffer.from(kind, "latin1"), data]), length = Buffer.alloc(4), sum = Buffer.alloc(4);
  length.writeUInt32BE(data.length);
  sum.writeUInt32BE(crc32(body));
  return Buffer.concat([length, body, sum]);
}

/** At most `most` colours; shades that differ by less than 1/32 count as one. */
function paletteOf(rgba, most) {
  const bins = new Map();
  for (let i = 0; i < rgba.length; i += 4) {
    const key = ((rgba[i] >> 3) << 10) | ((rgba[i + 1] >> 3) << 5) | (rgba[i + 2] >> 3);
    const bin = bins.get(key) ?? { n: 0, sum: [0, 0, 0], key };
    bin.n += 1;
    for (let c = 0; c < 3; ++c) bin.sum[c] += rgba[i + c];
    bins.set(key, bin);
  }
  const kept = [...bins.values()].sort((a, b) => b.n - a.n).slice(0, most).map((bin) => bin.sum.map((s) => Math.round(s / bin.n)));
  const away = (colour, one) => colour.reduce((sum, part, c) => sum + (part - one[c]) ** 2, 0);
  const places = new Map([...bins.values()].map((bin) => {
    const mean = bin.sum.map((s) => s / bin.n);
    return [bin.key, kept.reduce((best, one, k) => (away(mean, one) < away(mean, kept[best]) ? k : best), 0)];
  }));
  return { kept, places };
}

/** @param rgba  width × height pixels, 8 bits a part; the fourth is taken as full */
export function indexedPng(rgba, width, height, most = 96) {
  const { kept, places } = paletteOf(rgba, most);
  const rows = Buffer.alloc(height * (width + 1)); // each after the number of its filter: none
  for (let y = 0; y < height; ++y)
    for (let x = 0; x < width; ++x) {
      const i = 4 * (y * width + x);
      rows[y * (width + 1) + 1 + x] = places.get(((rgba[i] >> 3) << 10) | ((rgba[i + 1] >> 3) << 5) | (rgba[i + 2] >> 3));
    }
  const head = Buffer.alloc(13);
  head.writeUInt32BE(width, 0);
  head.writeUInt32BE(height, 4);
  head.set([8, 3, 0, 0, 0], 8);
  return Buffer.concat([Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]), chunk("IHDR", head), chunk("PLTE", Buffer.from(kept.flat())),
    chunk("IDAT", deflateSync(rows, { level: 9 })), chunk("IEND", Buffer.alloc(0))]);
}
