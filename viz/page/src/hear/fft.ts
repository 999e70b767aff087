// Discrete Fourier transform of a power of two of complex values, in place; forwards with e^{−i…}, backwards without 1/n.

export function transform(re: Float64Array, im: Float64Array, backwards = false): void {
  const n = re.length;
  if ((n & (n - 1)) !== 0) throw new Error(`${n} is no power of two`);
  for (let i = 1, j = 0; i < n; ++i) {
    let bit = n >> 1;
    for (; j & bit; bit >>= 1) j ^= bit;
    j ^= bit;
    if (i < j) {
      [re[i], re[j]] = [re[j], re[i]];
      [im[i], im[j]] = [im[j], im[i]];
    }
  }
  for (let size = 2; size <= n; size *= 2) {
    const angle = ((backwards ? 2 : -2) * Math.PI) / size;
    for (let k = 0; k < size / 2; ++k) {
      const [c, s] = [Math.cos(angle * k), Math.sin(angle * k)];
      for (let a = k; a < n; a += size) {
        const b = a + size / 2;
        const [x, y] = [re[b] * c - im[b] * s, re[b] * s + im[b] * c];
        [re[b], im[b]] = [re[a] - x, im[a] - y];
        re[a] += x;
        im[a] += y;
      }
    }
  }
}
