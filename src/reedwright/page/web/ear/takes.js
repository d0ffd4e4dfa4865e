// @ts-check
/**
 * Samples kept from a moment of the context's clock to another. A gap (the machine was busy) is
 * filled with silence, so that what comes after keeps its place.
 */

/** @typedef {{start_s: number, samples: Float32Array}} Block */

const LONGEST_S = 1200; // 20 minutes, 230 MB: longer than any recording of a lesson

export class Take {
  /** @param {number} rate_hz */
  constructor(rate_hz) {
    this.rate_hz = rate_hz;
    /** @type {Block[]} */ this.blocks = [];
  }

  /** @param {Block} block */
  add(block) {
    if (this.blocks.length === 0 || block.start_s - this.blocks[0].start_s < LONGEST_S) this.blocks.push(block);
  }

  /** Up to where there are samples, on the context's clock. */
  get end_s() {
    const last = this.blocks[this.blocks.length - 1];
    return last ? last.start_s + last.samples.length / this.rate_hz : -Infinity;
  }

  /** @param {number} from_s @param {number} to_s @returns {Float32Array} */
  cut(from_s, to_s) {
    const whole = new Float32Array(Math.max(0, Math.round((to_s - from_s) * this.rate_hz)));
    for (const { start_s, samples } of this.blocks) {
      const at = Math.round((start_s - from_s) * this.rate_hz), skip = Math.max(0, -at);
      if (at + samples.length <= 0 || at >= whole.length) continue;
      whole.set(samples.subarray(skip, Math.min(samples.length, whole.length - at)), at + skip);
    }
    return whole;
  }
}
