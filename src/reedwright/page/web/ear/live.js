// @ts-check
/**
 * What is heard now, in words: the hole and bend it most likely is and how far off, once a pitch has
 * been held. Said no more often than a person can read.
 */

import { centsBetween, nameOf } from "./name.js";
import { median } from "./sounds.js";

/** @typedef {import("./ear.d.ts").Reading} Reading */
/** @typedef {import("./ear.d.ts").NoteRow} NoteRow */

const HELD_S = 0.12;       // a pitch that stays so long is a note and not speech; from memory
const HELD_CENTS = 60;     // and moves no more than that meanwhile: bends slide faster
const SAY_S = 0.4;         // between two sentences
const RIGHT_CENTS = 5;     // what people just hear: handbook F, encyclopedia

export class Live {
  /** @param {NoteRow[]} notes */
  constructor(notes) {
    this.notes = notes;
    /** @type {Reading[]} */ this.recent = [];
    this.said_s = -Infinity;
  }

  /** A new sentence, or null to leave the last one. @param {Reading[]} readings @param {string[]} asked @returns {string | null} */
  hear(readings, asked) {
    this.recent.push(...readings);
    const now_s = this.recent[this.recent.length - 1]?.time_s ?? 0;
    this.recent = this.recent.filter((one) => one.time_s > now_s - HELD_S);
    if (now_s - this.said_s < SAY_S) return null;
    this.said_s = now_s;
    return sentence(this.recent, this.notes, asked);
  }
}

/** @param {Reading[]} recent @param {NoteRow[]} notes @param {string[]} asked */
export function sentence(recent, notes, asked) {
  if (recent.length === 0 || recent.every((one) => one.state === "silent")) return "Nothing is heard.";
  const pitched = recent.filter((one) => one.state === "note"), hertz = median(pitched.map((one) => one.hertz));
  if (pitched.length < 0.8 * recent.length) return "There is sound, but no single note can be told.";
  if (pitched.some((one) => Math.abs(centsBetween(one.hertz, hertz)) > HELD_CENTS)) return "The pitch is moving.";
  const named = nameOf(hertz, notes, asked);
  if (!named) return "A pitch is heard that lies between the notes of this harp.";
  const cents = Math.round(named.cents), also = named.also.length > 0 ? " (or another hole of the same pitch)" : "";
  if (Math.abs(cents) <= RIGHT_CENTS) return `${named.words}${also}, in tune.`;
  return `${named.words}${also}, ${Math.abs(cents)} cents ${cents < 0 ? "low" : "high"}.`;
}
