// @ts-check
/**
 * The tracker in the audio thread: readings as they come, and the samples in blocks, each with the
 * context's time of its first sample. A frame is read where it becomes due, so the page hears of it
 * within one render quantum and the way of a message.
 */

import { Tracker } from "./tracker.js";

const BLOCK = 4096; // samples posted at once; 85 ms at 48 kHz

class Ear extends AudioWorkletProcessor {
  constructor() {
    super();
    this.tracker = new Tracker(sampleRate);
    this.started_s = -1;
    this.block = new Float32Array(BLOCK);
    this.filled = 0;
    this.port.onmessage = (event) => {
      if (event.data && event.data.low_hz > 0) this.tracker.low_hz = Math.max(90, event.data.low_hz);
    };
  }

  /** @param {Float32Array[][]} inputs */
  process(inputs) {
    const samples = inputs[0]?.[0] ?? new Float32Array(128);
    if (this.started_s < 0) this.started_s = currentTime;
    const readings = this.tracker.push(samples).map((one) => ({ ...one, time_s: one.time_s + this.started_s }));
    if (readings.length > 0) this.port.postMessage({ kind: "readings", readings, sent_s: currentTime });
    this.keep(samples);
    return true;
  }

  /** @param {Float32Array} samples a render quantum: BLOCK holds a whole number of them */
  keep(samples) {
    this.block.set(samples, this.filled);
    this.filled += samples.length;
    if (this.filled < BLOCK) return;
    this.port.postMessage({ kind: "samples", start_s: currentTime - (BLOCK - samples.length) / sampleRate, samples: this.block });
    this.block = new Float32Array(BLOCK);
    this.filled = 0;
  }
}

registerProcessor("reedwright-ear", Ear);
