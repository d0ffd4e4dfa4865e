// @ts-check
/**
 * A pass held against the tab: each note right, low, high, ahead, behind, absent, different or
 * undecided.
 *
 * Sounds are matched to notes in order at the least cost (dynamic programming): pitch and moment
 * both count, a note left out or a sound too many costs a fixed amount. Late is positive. Where the
 * delay of microphone and headphones is not measured, the median of all differences is taken away
 * first: then only evenness against the student's own pulse is told. A pitch inside a zone the tune
 * leaves open (`zone_cents`) is right. Chords, shakes and moving notes: their moment only.
 * Thresholds: the lesson's `marking`; costs: tuned on planted faults, from memory.
 */

import { centsBetween } from "./name.js";
import { median } from "./sounds.js";

/** @typedef {import("./ear.d.ts").Heard} Heard */
/** @typedef {import("./ear.d.ts").Wanted} Wanted */
/** @typedef {import("./ear.d.ts").Verdict} Verdict */
/** @typedef {import("./ear.d.ts").Thresholds} Thresholds */
/** @typedef {import("./ear.d.ts").Marked} Marked */
/** @typedef {import("./ear.d.ts").Clock} Clock */

const LEFT_OUT = 1.0;        // cost of a note not heard, and of a sound not asked for
const SECOND_COST = 2.5;     // per second of difference in time
const FARTHEST_S = 0.6;      // farther apart they are not the same note
const WRONG_NOTE = 0.9;      // cost of another pitch, reached at a half-step and a half
const WRONG_AT_CENTS = 150;
const DIFFERENT_CENTS = 70;  // more than half-way to the next half-step, with room for a flat bend: another note
const LONG_WANDER_CENTS = 40; // a pitch that spreads more is not one pitch
const PULSE_NOTES = 3;       // fewer notes give no pulse

/** @param {Wanted[]} wanted @param {Heard[]} sounds times of the performance @param {Thresholds} limits @param {Clock} clock @returns {Marked} */
export function marked(wanted, sounds, limits, clock) {
  const rough_s = clock === "measured" ? 0 : bestShift(wanted, sounds);
  const pairs = matched(wanted, sounds, rough_s);
  const differences = pairs.flatMap((heard, i) => (heard ? [heard.start_s - wanted[i].start_s] : []));
  const removed_s = clock === "measured" ? 0 : median(differences);
  const timed = clock === "measured" || differences.length >= PULSE_NOTES;
  const verdicts = wanted.map((want, i) => verdictOf(want, pairs[i], limits, timed ? removed_s : null) ?? missing(want, sounds, removed_s));
  const judged = verdicts.filter((one) => one.pitch !== "undecided" || one.time !== "undecided");
  const right = judged.filter(isRight).length;
  const used = new Set(pairs);
  return {
    verdicts, extra: sounds.filter((sound) => !used.has(sound) && within(sound.start_s - removed_s, wanted)), clock, removed_ms: 1000 * removed_s,
    judged: judged.length, right, clean: judged.length > 0 && right >= limits.clean_share * judged.length,
  };
}

/** Between the first note and the end of the last. @param {number} time_s @param {Wanted[]} wanted */
const within = (time_s, wanted) => wanted.length > 0 && time_s >= wanted[0].start_s && time_s < wanted[wanted.length - 1].end_s;

/** @param {Verdict} one */
export const isRight = (one) => (one.pitch === "right" || one.pitch === "undecided") && (one.time === "right" || one.time === "undecided");

/** The shift in time at which most sounds find their note. @param {Wanted[]} wanted @param {Heard[]} sounds */
function bestShift(wanted, sounds) {
  let best_s = 0, least = Infinity;
  for (let step = -16; step <= 24; step++) {
    const shift_s = step * 0.025, cost = table(wanted, sounds, shift_s).total + 0.02 * Math.abs(shift_s);
    if (cost < least) { least = cost; best_s = shift_s; }
  }
  return best_s;
}

/** The sound of each note, or null. @param {Wanted[]} wanted @param {Heard[]} sounds @param {number} shift_s @returns {(Heard | null)[]} */
export function matched(wanted, sounds, shift_s) {
  const { costs } = table(wanted, sounds, shift_s);
  /** @type {(Heard | null)[]} */ const found = wanted.map(() => null);
  let i = wanted.length, j = sounds.length;
  while (i > 0 && j > 0) {
    if (same(costs[i][j], costs[i - 1][j - 1] + pairCost(wanted[i - 1], sounds[j - 1], shift_s))) { found[i - 1] = sounds[j - 1]; i -= 1; j -= 1; }
    else if (same(costs[i][j], costs[i - 1][j] + LEFT_OUT)) i -= 1;
    else j -= 1;
  }
  return found;
}

/** @param {number} a @param {number} b */
const same = (a, b) => Math.abs(a - b) < 1e-9;

/** @param {Wanted[]} wanted @param {Heard[]} sounds @param {number} shift_s */
function table(wanted, sounds, shift_s) {
  const costs = [sounds.reduce((row, sound) => [...row, row[row.length - 1] + extraCost(sound)], [0])];
  for (const want of wanted) {
    const above = costs[costs.length - 1], row = [above[0] + LEFT_OUT];
    sounds.forEach((sound, j) => row.push(Math.min(above[j + 1] + LEFT_OUT, row[j] + extraCost(sound), above[j] + pairCost(want, sound, shift_s))));
    costs.push(row);
  }
  return { costs, total: costs[wanted.length][sounds.length] };
}

/** A long sound nobody asked for is stranger than a short one. @param {Heard} sound */
const extraCost = (sound) => LEFT_OUT * Math.min(1, 0.3 + (sound.end_s - sound.start_s) * 2);

/** @param {Wanted} want @param {Heard} sound @param {number} shift_s */
function pairCost(want, sound, shift_s) {
  const away_s = Math.abs(sound.start_s - shift_s - want.start_s);
  return away_s > FARTHEST_S ? Infinity : SECOND_COST * away_s + pitchCost(want, sound);
}

/** @param {Wanted} want @param {Heard} sound */
function pitchCost(want, sound) {
  if (want.hertz.length !== 1 || want.moving || sound.hertz === 0) return sound.hertz > 0 || want.hertz.length > 1 ? 0 : 0.3;
  return WRONG_NOTE * Math.min(1, Math.abs(centsBetween(sound.hertz, want.hertz[0])) / WRONG_AT_CENTS);
}

/** @param {Wanted} want @param {Heard | null} heard @param {Thresholds} limits @param {number | null} removed_s @returns {Verdict | null} */
function verdictOf(want, heard, limits, removed_s) {
  if (!heard) return null;
  const late_ms = removed_s === null ? null : 1000 * (heard.start_s - removed_s - want.start_s);
  return { wanted: want, heard, late_ms, time: timeOf(late_ms, limits), ...pitchOf(want, heard, limits) };
}

/** A note without a sound of its own. Where a chord sounds on over it, nobody can tell. @param {Wanted} want @param {Heard[]} sounds @param {number} removed_s @returns {Verdict} */
function missing(want, sounds, removed_s) {
  const at_s = want.start_s + removed_s, over = sounds.some((sound) => sound.hertz === 0 && sound.start_s < at_s && sound.end_s > at_s + (want.end_s - want.start_s) / 2);
  const word = over ? "undecided" : "absent";
  return { wanted: want, heard: null, pitch: word, time: word, cents: null, late_ms: null, why: over ? "several reeds sound on here, and no new beginning could be told" : "nothing was heard there" };
}

/** @param {number | null} late_ms @param {Thresholds} limits @returns {import("./ear.d.ts").TimeVerdict} */
function timeOf(late_ms, limits) {
  if (late_ms === null) return "undecided";
  if (Math.abs(late_ms) <= limits.onset_ms) return "right";
  return late_ms > 0 ? "behind" : "ahead";
}

/** @param {Wanted} want @param {Heard} heard @param {Thresholds} limits @returns {{pitch: import("./ear.d.ts").PitchVerdict, cents: number | null, why: string}} */
function pitchOf(want, heard, limits) {
  if (want.hertz.length !== 1) return { pitch: "undecided", cents: null, why: "several holes at once: only their moment is told" };
  if (want.moving) return { pitch: "undecided", cents: null, why: "the pitch is meant to move: only its moment is told" };
  if (heard.hertz === 0) return { pitch: "undecided", cents: null, why: "no single pitch could be told" };
  if (heard.spread_cents > LONG_WANDER_CENTS) return { pitch: "undecided", cents: null, why: "the pitch moved too much to be one" };
  const cents = centsBetween(heard.hertz, want.hertz[0]);
  return { pitch: wordOf(cents, want, limits), cents, why: "" };
}

/** @param {number} cents @param {Wanted} want @param {Thresholds} limits @returns {import("./ear.d.ts").PitchVerdict} */
function wordOf(cents, want, limits) {
  const near = /['o]/.test(want.tab[0]) ? limits.bend_cents : limits.pitch_cents;
  const [from, to] = want.zone_cents ?? [0, 0];
  if (cents >= Math.min(0, from) - near && cents <= Math.max(0, to) + near) return "right";
  if (Math.abs(cents) > DIFFERENT_CENTS) return "different";
  return cents < 0 ? "low" : "high";
}
