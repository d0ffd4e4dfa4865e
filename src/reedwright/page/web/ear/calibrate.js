// @ts-check
/**
 * The delay from a click's place on the clock to its clap in the microphone: headphones, hands and
 * microphone together.
 *
 * Claps are found as steep rises of level; each is held against the nearest click after the shift
 * that suits most. The median is the delay; claps far from it are left out; too few, or spread too
 * widely, and no delay is given. Robust spread: 1.4826 times the median absolute deviation (the
 * factor for a normal distribution, textbook). Limits: from memory.
 */

import { levelLine, median } from "./sounds.js";

/** @typedef {import("./ear.d.ts").Calibration} Calibration */

const STEP_S = 0.004;
const RISE_DB = 15;         // within RISE_STEPS, above what went before
const RISE_STEPS = 3;
const LOUD_DB = 20;         // under the loudest clap: quieter ones are the room
const DEAD_S = 0.15;        // one clap rings that long
const LEAST_S = -0.1, MOST_S = 0.6; // people clap a little early; wireless headphones take up to half a second
const FAR_S = 0.08;         // from the median: that clap missed
const WIDEST_MS = 20;       // spread over which no delay is given; people tap to about 10 to 20 ms
const FEWEST = 6;

/** Seconds at which claps begin. @param {Float32Array} samples @param {number} rate_hz @returns {number[]} */
export function clapsIn(samples, rate_hz) {
  const line = levelLine(samples, rate_hz);
  const loudest = line.reduce((most, level) => Math.max(most, level), -120);
  if (loudest < -50) return [];
  /** @type {number[]} */ const found = [];
  for (let i = RISE_STEPS; i < line.length; i++) {
    const steep = line[i] - line[i - RISE_STEPS] >= RISE_DB && line[i] >= loudest - LOUD_DB;
    if (steep && (found.length === 0 || i * STEP_S - found[found.length - 1] > DEAD_S)) found.push(edge(samples, rate_hz, i * STEP_S));
  }
  return found;
}

/** The first sample near a rise that reaches a third of its greatest. @param {Float32Array} samples @param {number} rate_hz @param {number} near_s */
function edge(samples, rate_hz, near_s) {
  const from = Math.max(0, Math.round((near_s - 0.02) * rate_hz)), to = Math.min(samples.length, from + Math.round(0.03 * rate_hz));
  let most = 0;
  for (let k = from; k < to; k++) most = Math.max(most, Math.abs(samples[k]));
  for (let k = from; k < to; k++) if (Math.abs(samples[k]) > most / 3) return k / rate_hz;
  return near_s;
}

/** @param {number[]} clicks_s @param {number[]} claps_s @returns {Calibration} */
export function delayOf(clicks_s, claps_s) {
  const needed = Math.min(FEWEST, clicks_s.length);
  if (claps_s.length < needed) return { ok: false, why: `Only ${claps_s.length} claps were heard, and ${needed} are needed. Clap nearer to the microphone.` };
  const all = clicks_s.flatMap((click) => claps_s.map((clap) => clap - click)).filter((gap) => gap >= LEAST_S && gap <= MOST_S);
  const centre = densest(all), near = clicks_s.flatMap((click) => nearest(click + centre, claps_s)).map(([clap, at]) => clap - at + centre);
  if (near.length < needed) return { ok: false, why: `Only ${near.length} claps fell with a click, and ${needed} are needed. Clap once with each click.` };
  const offset_s = median(near), spread_ms = 1482.6 * median(near.map((gap) => Math.abs(gap - offset_s)));
  if (spread_ms > WIDEST_MS) return { ok: false, why: `The claps lay ${Math.round(spread_ms)} ms apart from each other, and ${WIDEST_MS} is the most. Try again, with the click a little louder.` };
  return { ok: true, offset_s, spread_ms, used: near.length };
}

/** The clap nearest to a moment, if it is near enough. @param {number} at_s @param {number[]} claps_s @returns {[number, number][]} */
function nearest(at_s, claps_s) {
  const clap = claps_s.reduce((best, one) => (Math.abs(one - at_s) < Math.abs(best - at_s) ? one : best), Infinity);
  return Math.abs(clap - at_s) <= FAR_S ? [[clap, at_s]] : [];
}

/** The gap most others lie near. @param {number[]} gaps */
function densest(gaps) {
  const near = (/** @type {number} */ gap) => gaps.filter((other) => Math.abs(other - gap) <= FAR_S / 2).length;
  return gaps.length === 0 ? 0 : median(gaps.filter((gap) => near(gap) === Math.max(...gaps.map(near))));
}
