// @ts-check
/**
 * A radix-2 fast Fourier transform in place, for a fixed length that is a power of two.
 * Convention: forward sums x·exp(-i2πkn/N), no scaling; the power spectrum of a real signal is even,
 * so its forward transform is N times its autocorrelation. Source: Cooley & Tukey 1965, from memory.
 */

export class Fft {
  /** @param {number} length */
  constructor(length) {
    if (length < 2 || (length & (length - 1)) !== 0) throw new RangeError(`a transform's length must be a power of two, not ${length}`);
    this.length = length;
    this.cos = Float64Array.from({ length: length / 2 }, (_, k) => Math.cos((2 * Math.PI * k) / length));
    this.sin = Float64Array.from({ length: length / 2 }, (_, k) => Math.sin((2 * Math.PI * k) / length));
    this.order = swaps(length);
  }

  /** @param {Float64Array} re @param {Float64Array} im */
  forward(re, im) {
    const { length, order } = this;
    for (let i = 0; i < length; i++) {
      const j = order[i];
      if (j > i) {
        let keep = re[i]; re[i] = re[j]; re[j] = keep;
        keep = im[i]; im[i] = im[j]; im[j] = keep;
      }
    }
    for (let half = 1; half < length; half *= 2) this.stage(re, im, half);
  }

  /** @param {Float64Array} re @param {Float64Array} im @param {number} half */
  stage(re, im, half) {
    const { length, cos, sin } = this;
    const step = length / (2 * half);
    for (let start = 0; start < length; start += 2 * half) {
      for (let k = 0; k < half; k++) {
        const a = start + k, b = a + half, c = cos[k * step], s = sin[k * step];
        const x = re[b] * c + im[b] * s, y = im[b] * c - re[b] * s;
        re[b] = re[a] - x; im[b] = im[a] - y;
        re[a] += x; im[a] += y;
      }
    }
  }
}

/** @param {number} length */
function swaps(length) {
  const order = new Uint32Array(length);
  for (let i = 1; i < length; i++) order[i] = (order[i >> 1] >> 1) | (i & 1 ? length >> 1 : 0);
  return order;
}
