// @ts-check
/**
 * The pitch of one harp in real time, from samples as they come.
 *
 * Method: the normalised square difference over a frame of about 43 ms (McLeod & Wyvill, "A smarter
 * way to find pitch", ICMC 2005; from memory), by FFT; then the period is read off again at lags
 * twice, four times … as long, which makes the error of the parabola smaller by as much. Reeds have
 * strong overtones, so a candidate is held against the spectrum: sound between its harmonics means
 * the true note is lower. Two reeds share a low common period with no tone at it: told as unclear.
 * Pitch is never drawn to a note of the harp: they only set where to look.
 *
 * Conventions: samples -1..1, any block length; a reading's time is the middle of its frame, seconds
 * from the first sample pushed; level of the frame in dBFS of a full-scale square.
 */

import { Fft } from "./fft.js";

/** @typedef {import("./ear.d.ts").Reading} Reading */
/** @typedef {import("./ear.d.ts").TrackerOptions} TrackerOptions */

const FRAME_S = 0.0427;       // four periods of the lowest note; 2048 samples at 48 kHz
const LOWEST_HZ = 92, HIGHEST_HZ = 3400; // G2 98 Hz to G7 3136 Hz, and a little
const FLOOR_DBFS = -58;       // below it nothing is heard: rooms through a laptop's microphone, from memory
const CLEAR = 0.82;           // of 1: noise 7 dB under the note; tuned on our own voice
const NEAR_BEST = 0.9;        // the first peak this near the best one is the candidate: McLeod & Wyvill
const RUMBLE_HZ = 70, TREBLE_HZ = 5000; // under the lowest note; so that short lags are well sampled
const BETWEEN_DB = -42;       // sound midway between harmonics, under the strongest: a lower note
const FUNDAMENTAL_DB = -36;   // a reed has at least so much of its own pitch: tuned on our own voice
const MEANS_LITTLE = 0.004;   // of 1, left unexplained by a period: the parabola's own error
const ABOVE_VALLEY = 6;       // a tone stands so many times above the spectrum beside it
const LONGEST_SHARE = 0.3;    // of the frame: the longest lag a period is read off at

export class Tracker {
  /** @param {number} rate_hz @param {TrackerOptions} [options] */
  constructor(rate_hz, options = {}) {
    if (!(rate_hz >= 16000)) throw new RangeError(`the tracker needs 16000 samples a second or more, not ${rate_hz}`);
    this.rate_hz = rate_hz;
    this.length = 2 ** Math.round(Math.log2(FRAME_S * rate_hz));
    this.hop = options.hop ?? this.length / 4;
    this.low_hz = Math.max(LOWEST_HZ, options.low_hz ?? 0);
    this.high_hz = Math.min(HIGHEST_HZ, options.high_hz ?? HIGHEST_HZ);
    this.floor_dbfs = options.floor_dbfs ?? FLOOR_DBFS;
    this.filters = [section("high", RUMBLE_HZ, rate_hz), section("low", TREBLE_HZ, rate_hz)];
    this.ring = new Float64Array(this.length);
    this.frame = new Float64Array(this.length);
    this.fft = new Fft(this.length * 2);
    this.re = new Float64Array(this.length * 2);
    this.im = new Float64Array(this.length * 2);
    this.power = new Float64Array(this.length);
    this.nsdf = new Float64Array(this.length);
    this.seen = 0;
  }

  /** Readings that became due with these samples. @param {Float32Array} samples @returns {Reading[]} */
  push(samples) {
    /** @type {Reading[]} */ const due = [];
    for (let i = 0; i < samples.length; i++) {
      const value = this.filters[1].next(this.filters[0].next(Number.isFinite(samples[i]) ? samples[i] : 0));
      this.ring[this.seen % this.length] = value;
      this.seen += 1;
      if (this.seen >= this.length && (this.seen - this.length) % this.hop === 0) due.push(this.read());
    }
    return due;
  }

  /** @returns {Reading} */
  read() {
    const { length } = this, from = this.seen % length;
    for (let i = 0; i < length; i++) this.frame[i] = this.ring[(from + i) % length];
    let energy = 0;
    for (let i = 0; i < length; i++) energy += this.frame[i] * this.frame[i];
    const level_dbfs = Math.max(-120, 10 * Math.log10(energy / length + 1e-12));
    const time_s = (this.seen - length / 2) / this.rate_hz;
    if (level_dbfs < this.floor_dbfs) return { time_s, state: "silent", hertz: 0, clarity: 0, level_dbfs };
    this.transform(energy);
    const { hertz, clarity, alone } = this.pitch();
    const state = hertz > 0 && clarity >= CLEAR && alone ? "note" : "unclear";
    return { time_s, state, hertz: state === "note" ? hertz : 0, clarity, level_dbfs };
  }

  /** Power spectrum (Hann, by its three taps in the spectrum) and the normalised difference. @param {number} energy */
  transform(energy) {
    const { length, re, im, frame, power, nsdf } = this;
    re.set(frame); re.fill(0, length); im.fill(0);
    this.fft.forward(re, im);
    const mask = 2 * length - 1;
    for (let k = 0; k < length; k++) {
      const before = (k - 2) & mask, after = (k + 2) & mask;
      const x = re[k] / 2 - (re[before] + re[after]) / 4, y = im[k] / 2 - (im[before] + im[after]) / 4;
      power[k] = x * x + y * y;
    }
    for (let k = 0; k < 2 * length; k++) { re[k] = re[k] * re[k] + im[k] * im[k]; im[k] = 0; }
    this.fft.forward(re, im);
    let both = 2 * energy;
    for (let lag = 0; lag < length; lag++) {
      nsdf[lag] = both > 1e-9 * energy ? re[lag] / length / both : 0;
      both -= frame[lag] * frame[lag] + frame[length - 1 - lag] * frame[length - 1 - lag];
    }
  }

  /** @returns {{hertz: number, clarity: number, alone: boolean}} */
  pitch() {
    const first = this.candidate();
    if (!first) return { hertz: 0, clarity: 0, alone: false };
    const lag = this.lower(first);
    const { period, clarity } = this.refined(lag);
    const hertz = this.rate_hz / period;
    return { hertz, clarity, alone: this.stands(hertz) };
  }

  /** The first peak of the difference near its best one; 0 without any. */
  candidate() {
    const low = Math.max(2, Math.floor(this.rate_hz / this.high_hz)), high = Math.min(Math.ceil(this.rate_hz / this.low_hz), this.length / 2);
    const peaks = this.peaks(low, high);
    const best = Math.max(0, ...peaks.map((peak) => peak.height));
    return peaks.find((peak) => peak.height >= NEAR_BEST * best)?.lag ?? 0;
  }

  /** Peaks after the first fall below zero. @param {number} low @param {number} high */
  peaks(low, high) {
    const found = [];
    let lag = 1;
    while (lag < high && this.nsdf[lag] > 0) lag += 1;
    for (lag = Math.max(lag, low - 1); lag <= high; lag++) {
      if (this.nsdf[lag] > 0 && this.nsdf[lag] >= this.nsdf[lag - 1] && this.nsdf[lag] > this.nsdf[lag + 1]) found.push(this.top(lag));
    }
    return found.filter((peak) => peak.lag >= this.rate_hz / this.high_hz - 0.5);
  }

  /** The parabola through a peak and its neighbours. @param {number} lag */
  top(lag) {
    const [a, b, c] = [this.nsdf[lag - 1], this.nsdf[lag], this.nsdf[lag + 1]];
    const bend = a - 2 * b + c, shift = bend < 0 ? Math.max(-1, Math.min(1, (0.5 * (a - c)) / bend)) : 0; // no peak, no long way
    return { lag: lag + shift, height: b - 0.25 * (a - c) * shift };
  }

  /** A period twice or three times as long, where tones stand between the harmonics. @param {number} lag @returns {number} */
  lower(lag) {
    for (const times of [2, 3]) {
      const hertz = this.rate_hz / lag / times;
      if (hertz < this.low_hz) continue;
      if (this.toneBetween(hertz, times)) return this.lower(lag * times);
    }
    return lag;
  }

  /** Whether at least two of the lowest tones a lower note would add are there. @param {number} hertz @param {number} times */
  toneBetween(hertz, times) {
    const numbers = times === 2 ? [1, 3, 5] : [1, 2, 4, 5];
    const strongest = Math.max(...[1, 2, 3].map((n) => this.at(n * times * hertz)));
    const there = numbers.filter((n) => this.at(n * hertz) > strongest * 10 ** (BETWEEN_DB / 10) && this.isTone(n * hertz, hertz));
    return there[0] === 1 && (there.length >= 2 || this.clearer(hertz, times));
  }

  /** Whether the longer period leaves far less unexplained. @param {number} hertz @param {number} times */
  clearer(hertz, times) {
    const long = this.rate_hz / hertz;
    const left = 1 - this.top(this.summit(long / times)).height;
    return left > MEANS_LITTLE && 1 - this.top(this.summit(long)).height < left / 3;
  }

  /** Greatest power within a bin or so. @param {number} hertz */
  at(hertz) {
    const middle = Math.round((hertz * 2 * this.length) / this.rate_hz);
    let most = 0;
    for (let k = middle - 2; k <= middle + 2; k++) most = Math.max(most, this.power[k] ?? 0);
    return most;
  }

  /** Whether a tone stands above the spectrum half a step of harmonics beside it. @param {number} hertz @param {number} step_hz */
  isTone(hertz, step_hz) {
    const valley = Math.max(this.point(hertz - step_hz / 2), this.point(hertz + step_hz / 2));
    return this.at(hertz) > ABOVE_VALLEY * valley;
  }

  /** @param {number} hertz */
  point(hertz) { return this.power[Math.round((hertz * 2 * this.length) / this.rate_hz)] ?? 0; }

  /** A single reed sounds at its own pitch; the common period of two does not. @param {number} hertz */
  stands(hertz) {
    const strongest = Math.max(...[1, 2, 3, 4, 5, 6].map((n) => this.at(n * hertz)));
    return this.at(hertz) >= strongest * 10 ** (FUNDAMENTAL_DB / 10);
  }

  /** The period, read off at ever longer lags while they are as clear. @param {number} lag */
  refined(lag) {
    let { lag: period, height: clarity } = this.top(this.summit(lag));
    for (let times = 2; times * period < LONGEST_SHARE * this.length; times *= 2) {
      const far = this.top(this.summit(times * period));
      if (far.height < 0.9 * clarity || Math.abs(far.lag / times / period - 1) > 0.02) break;
      period = far.lag / times;
      clarity = Math.max(clarity, far.height);
    }
    return { period, clarity };
  }

  /** The greatest of the whole lags around. @param {number} lag */
  summit(lag) {
    const near = Math.round(lag);
    let best = near;
    for (let k = near - 2; k <= near + 2; k++) if (k > 1 && this.nsdf[k] > this.nsdf[best]) best = k;
    return best;
  }
}

/** All readings of a recording. @param {Float32Array} samples @param {number} rate_hz @param {TrackerOptions} [options] */
export function track(samples, rate_hz, options) {
  return new Tracker(rate_hz, options).push(samples);
}

/**
 * A second-order Butterworth filter (Audio EQ Cookbook, W3C note; Q = 1/√2).
 * @param {"low" | "high"} kind @param {number} corner_hz @param {number} rate_hz
 */
function section(kind, corner_hz, rate_hz) {
  const w = (2 * Math.PI * corner_hz) / rate_hz, c = Math.cos(w), alpha = Math.sin(w) / Math.SQRT2;
  const a0 = 1 + alpha, sign = kind === "low" ? 1 - c : 1 + c;
  const b0 = sign / 2 / a0, b1 = (kind === "low" ? sign : -sign) / a0, a1 = (-2 * c) / a0, a2 = (1 - alpha) / a0;
  let x1 = 0, x2 = 0, y1 = 0, y2 = 0;
  return {
    /** @param {number} x */
    next(x) {
      const y = b0 * x + b1 * x1 + b0 * x2 - a1 * y1 - a2 * y2;
      x2 = x1; x1 = x; y2 = y1; y1 = Math.abs(y) < 1e-25 ? 0 : y;
      return y;
    },
  };
}
