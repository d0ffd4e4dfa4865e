// @ts-check
/**
 * Readings and samples made into sounds: where each begins and ends, and its pitch.
 *
 * A sound ends where it falls silent, where the pitch leaves for another note, or where its level
 * dips and comes back (the same hole again). Its beginning is then moved to where the level rises,
 * in steps of 4 ms. The pitch is the median of its inner readings, so that a scoop into a bend and
 * the way out of it do not count. Thresholds tuned on our own voice; from memory where not said.
 */

import { centsBetween } from "./name.js";
import { track } from "./tracker.js";

/** @typedef {import("./ear.d.ts").Reading} Reading */
/** @typedef {import("./ear.d.ts").Heard} Heard */

export const HOP = 256;            // samples, 5 ms at 48 kHz
const STEP_S = 0.004;              // of the line of levels
const LEAVES_CENTS = 65;           // more than half a half-step, with room for a vibrato
const STAYS = 4;                   // readings a new pitch must stay to be a new note: 20 ms
const SETTLED = 60;                // readings whose median is the note: longer than a glide between two
const SHORTEST_S = 0.035;          // of a sound
const DIP_DB = 7;                  // a fall and rise of so much is a new attack
const SEARCH_S = 0.05;             // around a change of pitch or state, a frame is blurred by so much
const GONE_CENTS = 15;             // from the note before: the glide has begun
const RISE_DB = 16;                // under the level the sound reaches: its beginning
const GLIDE_S = 0.06;              // a sound so short that leads on without a gap is a way into the next
const SCOOP_S = 0.08;              // the way into a note that is left out of its pitch
const UNDER_LOUDEST_DB = 34;       // quieter than that is the room, or what leaks from headphones

/** Everything heard in a recording. @param {Float32Array} samples @param {number} rate_hz @param {number} low_hz @returns {Heard[]} */
export function soundsOf(samples, rate_hz, low_hz) {
  const readings = track(samples, rate_hz, { hop: HOP, low_hz });
  const levels = levelLine(samples, rate_hz);
  return fromReadings(readings, levels);
}

/** RMS in dBFS every STEP_S over twice that. @param {Float32Array} samples @param {number} rate_hz */
export function levelLine(samples, rate_hz) {
  const step = Math.round(STEP_S * rate_hz);
  const line = new Float32Array(Math.floor(samples.length / step));
  for (let i = 0; i < line.length; i++) {
    let sum = 0;
    const from = Math.max(0, i * step - step / 2), to = Math.min(samples.length, from + 2 * step);
    for (let k = Math.floor(from); k < to; k++) sum += samples[k] * samples[k];
    line[i] = 10 * Math.log10(sum / (2 * step) + 1e-12);
  }
  return line;
}

/** @param {Reading[]} readings @param {Float32Array} levels @returns {Heard[]} */
export function fromReadings(readings, levels) {
  const loudest = readings.reduce((most, one) => Math.max(most, one.level_dbfs), -120);
  const audible = readings.map((one) => (one.level_dbfs < loudest - UNDER_LOUDEST_DB ? { ...one, state: /** @type {const} */ ("silent") } : one));
  return glides(runs(audible).flatMap((run) => attacks(run, levels))).filter((run) => spanOf(run) >= SHORTEST_S).map((run, i, all) => heard(run, levels, all[i - 1]));
}

/** Readings of one state and one pitch. @param {Reading[]} readings @returns {Reading[][]} */
function runs(readings) {
  /** @type {Reading[][]} */ const found = [];
  /** @type {Reading[]} */ let now = [];
  for (let i = 0; i < readings.length; i++) {
    if (now.length > 0 && leaves(now, readings, i)) { found.push(now); now = []; }
    if (readings[i].state !== "silent") now.push(readings[i]);
  }
  if (now.length > 0) found.push(now);
  return found;
}

/** A short way into a note belongs to it. @param {Reading[][]} found @returns {Reading[][]} */
function glides(found) {
  /** @type {Reading[][]} */ const joined = [];
  for (const run of found) {
    const last = joined[joined.length - 1];
    const near = last && run[0].time_s - last[last.length - 1].time_s < 0.02;
    if (near && last.length > 0 && spanOf(last) < GLIDE_S && spanOf(run) > spanOf(last)) joined[joined.length - 1] = [...last, ...run];
    else joined.push(run);
  }
  return joined;
}

/** Whether another sound begins here. A few strange readings inside one are not another.
 * @param {Reading[]} now @param {Reading[]} readings @param {number} at */
function leaves(now, readings, at) {
  if (readings[at].state === "silent") return true;
  const hertz = median(now.slice(-SETTLED).filter((one) => one.hertz > 0).map((one) => one.hertz));
  const away = (/** @type {Reading} */ one) => one.state === "silent" || (hertz > 0 ? one.hertz === 0 || Math.abs(centsBetween(one.hertz, hertz)) > LEAVES_CENTS : one.hertz > 0);
  const next = readings.slice(at, at + STAYS);
  return next.length === STAYS && next.every(away);
}

/** Cut where the level dips and comes back. @param {Reading[]} run @param {Float32Array} levels @returns {Reading[][]} */
function attacks(run, levels) {
  const from = run[0].time_s;
  for (let i = 6; i < run.length - 6; i++) {
    const here = levelAt(levels, run[i].time_s);
    if (here > least(levels, run[i].time_s)) continue;
    const before = most(levels, Math.max(from, run[i].time_s - 0.12), run[i].time_s), after = most(levels, run[i].time_s, Math.min(run[run.length - 1].time_s, run[i].time_s + 0.12));
    if (Math.min(before, after) - here >= DIP_DB) return [run.slice(0, i), ...attacks(run.slice(i), levels)];
  }
  return [run];
}

/** @param {Float32Array} levels @param {number} time_s */
const levelAt = (levels, time_s) => levels[Math.min(levels.length - 1, Math.max(0, Math.round(time_s / STEP_S)))];
/** The least level within 20 ms. @param {Float32Array} levels @param {number} time_s */
function least(levels, time_s) {
  let low = Infinity;
  for (let k = -5; k <= 5; k++) low = Math.min(low, levelAt(levels, time_s + k * STEP_S));
  return low;
}
/** @param {Float32Array} levels @param {number} from_s @param {number} to_s */
function most(levels, from_s, to_s) {
  let high = -120;
  for (let t = from_s; t <= to_s; t += STEP_S) high = Math.max(high, levelAt(levels, t));
  return high;
}

/** @param {Reading[]} run */
const spanOf = (run) => run[run.length - 1].time_s - run[0].time_s;

/** @param {Reading[]} run @param {Float32Array} levels @param {Reading[] | undefined} before @returns {Heard} */
function heard(run, levels, before) {
  const end_s = run[run.length - 1].time_s, start_s = beginning(leaving(run, before), end_s, levels);
  const pitched = run.filter((one) => one.state === "note");
  const inner = pitched.filter((one) => one.time_s >= run[0].time_s + Math.min(SCOOP_S, 0.4 * spanOf(run)) && one.time_s <= end_s - Math.min(0.04, 0.2 * spanOf(run)));
  const used = inner.length >= 3 ? inner : pitched;
  const hertz = pitched.length * 2 > run.length ? median(used.map((one) => one.hertz)) : 0;
  const away = used.map((one) => Math.abs(centsBetween(one.hertz, hertz || 1)));
  return { start_s, end_s, hertz, spread_cents: hertz ? median(away) : 0, level_dbfs: median(run.map((one) => one.level_dbfs)) };
}

/** The moment a glide leaves the note before, where one leads on from it; the first reading else.
 * @param {Reading[]} run @param {Reading[] | undefined} before */
function leaving(run, before) {
  const first_s = run[0].time_s;
  if (!before || first_s - before[before.length - 1].time_s > 0.02) return first_s;
  const held = median(before.filter((one) => one.hertz > 0).map((one) => one.hertz));
  let i = before.length;
  while (held > 0 && i > 1 && before[i - 1].hertz > 0 && Math.abs(centsBetween(before[i - 1].hertz, held)) > GONE_CENTS) i -= 1;
  return i < before.length ? before[i].time_s : first_s;
}

/** Where the level rises to near what the sound reaches; the first reading where it does not rise.
 * @param {number} first_s @param {number} end_s @param {Float32Array} levels */
function beginning(first_s, end_s, levels) {
  const reached = most(levels, first_s, Math.min(end_s, first_s + 0.1));
  let lowest = first_s - SEARCH_S;
  for (let t = first_s - SEARCH_S; t <= first_s + SEARCH_S; t += STEP_S) if (levelAt(levels, t) < levelAt(levels, lowest)) lowest = t;
  if (reached - levelAt(levels, lowest) < DIP_DB) return first_s;
  for (let t = lowest; t <= end_s; t += STEP_S) if (levelAt(levels, t) >= Math.max(reached - RISE_DB, levelAt(levels, lowest) + DIP_DB / 2)) return t;
  return first_s;
}

/** 0 of nothing. @param {number[]} values */
export function median(values) {
  if (values.length === 0) return 0;
  const sorted = [...values].sort((a, b) => a - b), half = sorted.length >> 1;
  return sorted.length % 2 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
}
