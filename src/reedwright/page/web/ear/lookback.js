// @ts-check
/**
 * One pass over a scope: what was recorded brought to the clock of the performance, marked, and kept
 * with all that is needed to mark it again elsewhere.
 */

import { marked } from "./judge.js";
import { soundsOf } from "./sounds.js";

/** @typedef {import("./ear.d.ts").Wanted} Wanted */
/** @typedef {import("./ear.d.ts").Marked} Marked */
/** @typedef {import("./ear.d.ts").Scope} Scope */
/** @typedef {import("./ear.d.ts").Lesson} Lesson */
/** @typedef {import("./ear.d.ts").Clock} Clock */

export const BEFORE_S = 0.5, AFTER_S = 0.8; // recorded around the scope: early and late notes

/**
 * `start_s`: performance seconds of the first sample, delay taken off.
 * @typedef {{samples: Float32Array, rate_hz: number, start_s: number, offset_s: number, scope: Scope, wanted: Wanted[], pass: Marked}} Pass
 */

/**
 * @param {{samples: Float32Array, rate_hz: number, start_s: number, offset_s: number, scope: Scope, wanted: Wanted[], lesson: Lesson, clock: Clock}} take
 * @returns {Pass}
 */
export function lookBack({ samples, rate_hz, start_s, offset_s, scope, wanted, lesson, clock }) {
  const lowest_hz = Math.min(...lesson.notes.map((note) => note.hertz)) * 2 ** (-1.5 / 12);
  const sounds = soundsOf(samples, rate_hz, lowest_hz).map((sound) => ({ ...sound, start_s: sound.start_s + start_s, end_s: sound.end_s + start_s }));
  return { samples, rate_hz, start_s, offset_s, scope, wanted, pass: marked(wanted, sounds, lesson.marking, clock) };
}

/** What a recording handed in says of itself. @param {Pass} one @param {string} title */
export function aboutPass(one, title) {
  return {
    title, comment: {
      schema: "reedwright.take/1", title, lick: one.scope.slug, piece: one.scope.piece, tempo_bpm: one.scope.tempo_bpm,
      from_s: one.scope.from_s, to_s: one.scope.to_s, start_s: one.start_s, offset_s: one.offset_s, clock: one.pass.clock,
    },
  };
}

/** The samples of one note, with a little around it. @param {Pass} one @param {number} from_s @param {number} to_s */
export function slice(one, from_s, to_s) {
  const at = (/** @type {number} */ time_s) => Math.max(0, Math.min(one.samples.length, Math.round((time_s - one.start_s) * one.rate_hz)));
  return one.samples.slice(at(from_s - 0.05), at(to_s + 0.1));
}
