// @ts-check
/** What the ear says, in one place: verdicts, troubles, names of notes. Another language is this file. */

import { wordsOf } from "./name.js";

/** @typedef {import("./ear.d.ts").Verdict} Verdict */
/** @typedef {import("./ear.d.ts").NoteRow} NoteRow */
/** @typedef {import("./ear.d.ts").Marked} Marked */

export const PRIVATE = "Nothing you play leaves this page: it is heard here, and kept only when you save it.";
export const SIGNS = { right: "●", low: "▽", high: "△", ahead: "◁", behind: "▷", absent: "○", different: "◇", undecided: "?" };

/** A tab in words. @param {string[]} tabs @param {NoteRow[]} notes */
export function spoken(tabs, notes) {
  return tabs.map((tab) => { const row = notes.find((note) => note.tab === tab); return row ? wordsOf(row) : tab; }).join(" and ");
}

/** As short as a label must be: `4 draw′`. @param {NoteRow} note */
export const label = (note) => `${note.hole} ${note.over ? "over" : ""}${note.breath.startsWith("d") ? "draw" : "blow"}${"′".repeat(note.over ? 0 : note.bend)}`;

/** @param {Verdict} one */
export function pitchWords(one) {
  if (one.pitch === "absent") return "absent";
  if (one.pitch === "undecided") return `undecided: ${one.why}`;
  if (one.pitch === "right") return "right";
  const cents = Math.round(Math.abs(one.cents ?? 0));
  if (one.pitch === "different") return `different: ${cents} cents ${(one.cents ?? 0) < 0 ? "below" : "above"}`;
  return `${one.pitch} by ${cents} cents`;
}

/** @param {Verdict} one */
export function timeWords(one) {
  if (one.time === "absent") return "absent";
  if (one.time === "undecided" && one.late_ms === null && !one.heard) return "undecided";
  if (one.time === "undecided") return "undecided: too few notes to feel your pulse";
  return one.time === "right" ? "right" : `${one.time} by ${Math.round(Math.abs(one.late_ms ?? 0))} ms`;
}

/** @param {Marked} pass */
export function summary(pass) {
  const share = pass.judged === 0 ? "No note could be judged." : `${pass.right} of ${pass.judged} ${pass.judged === 1 ? "note" : "notes"} right${pass.clean ? ": a clean pass." : "."}`;
  const clock = pass.clock === "measured" ? "Timing is against the click, with your measured delay taken off."
    : "Timing is only against your own pulse: without headphones and a measured delay nobody can tell whether all of it was early or late.";
  const more = pass.extra.length === 0 ? "" : ` ${pass.extra.length} more ${pass.extra.length === 1 ? "sound was" : "sounds were"} heard that the tab does not ask for.`;
  return `${share}${more} ${clock}`;
}

/** Why there is no microphone. @param {unknown} error */
export function trouble(error) {
  const name = error instanceof Error || error instanceof DOMException ? error.name : "";
  if (name === "NotAllowedError" || name === "SecurityError") return "The microphone was refused. If you change your mind, allow it for this page in the browser's settings and try again. Some phones never allow it for a file opened from the device: they need the page served over HTTPS.";
  if (name === "NotFoundError" || name === "OverconstrainedError") return "No microphone was found. Plug one in and try again; the rest of the page works without.";
  if (name === "NotReadableError") return "The microphone does not answer. Another program may be using it.";
  if (name === "NoMicrophoneHere") return "This browser gives a page like this no microphone. Some phones and browsers need it served over HTTPS.";
  if (name === "NoWorklet") return "This browser cannot listen as the page needs it (it has no AudioWorklet). The rest of the page works.";
  if (name === "Asleep") return "The page's sound is asleep, so nothing can be heard. Press the button once more.";
  return `The microphone could not be opened${error instanceof Error && error.message ? `: ${error.message}` : ""}.`;
}
