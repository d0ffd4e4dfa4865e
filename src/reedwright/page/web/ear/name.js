// @ts-check
/**
 * Which hole and bend a pitch most likely is. The harp's own notes are compared as they are tuned;
 * where several holes give the same pitch, the one the tab asks for comes first, then natural notes
 * before bends before overbends (common practice: the easier one is the likelier).
 */

/** @typedef {import("./ear.d.ts").NoteRow} NoteRow */
/** @typedef {import("./ear.d.ts").Named} Named */

const SAME_CENTS = 30;  // two notes of a harp this near sound alike: temperaments move a note less, handbook C
const FARTHEST_CENTS = 80; // farther from every note it is none of them; a half-step is 100

/** Cents from one pitch up to another. @param {number} hertz @param {number} from_hz */
export const centsBetween = (hertz, from_hz) => 1200 * Math.log2(hertz / from_hz);

/** @param {number} hertz @param {NoteRow[]} notes @param {string[]} [asked] tabs likely here @returns {Named | null} */
export function nameOf(hertz, notes, asked = []) {
  if (!(hertz > 0) || notes.length === 0) return null;
  const off = (/** @type {NoteRow} */ note) => Math.abs(centsBetween(hertz, note.hertz));
  const nearest = notes.reduce((best, note) => (off(note) < off(best) ? note : best));
  if (off(nearest) > FARTHEST_CENTS) return null;
  const alike = notes.filter((note) => Math.abs(centsBetween(note.hertz, nearest.hertz)) <= SAME_CENTS).sort((a, b) => rank(a, asked) - rank(b, asked));
  const [first, ...rest] = alike;
  return { tab: first.tab, cents: centsBetween(hertz, first.hertz), also: rest.map((note) => note.tab), words: wordsOf(first) };
}

/** @param {NoteRow} note @param {string[]} asked */
const rank = (note, asked) => (asked.includes(note.tab) ? 0 : 1 + (note.over ? 10 : note.bend));

/** @param {NoteRow} note */
export function wordsOf(note) {
  const breath = note.breath.startsWith("d") ? "draw" : "blow";
  if (note.over) return `${note.hole} over${breath}`;
  const depth = ["", ", half-step bend", ", whole-step bend", ", step-and-a-half bend"][note.bend] ?? `, bend of ${note.bend} half-steps`;
  return `${note.hole} ${breath}${depth}`;
}
