// @ts-check
/**
 * The sound of the page: one audio context, made at the first gesture, and single notes of the harp
 * kept once they were fetched. Begins quietly (-12 dB).
 */

import { getRaw, query } from "./api.js";

const QUIET = 0.25; // -12 dB, from memory: a careful first loudness on headphones

/** @type {AudioContext | null} */
let context = null;
/** @type {GainNode | null} */
let gain = null;

/** The page's audio context; only after a gesture. @returns {AudioContext} */
export function audio() {
  if (!context) {
    context = new AudioContext({ latencyHint: "interactive" });
    gain = context.createGain();
    gain.gain.value = QUIET;
    gain.connect(context.destination);
  }
  if (context.state === "suspended") context.resume().catch(() => undefined);
  return context;
}

/** Where everything that sounds goes. @returns {GainNode} */
export function out() {
  audio();
  return /** @type {GainNode} */ (gain);
}

/** @param {number} level 0 to 1; loudness goes with its square, as ears find even */
export function setLevel(level) {
  out().gain.value = level * level;
}

/** @param {ArrayBuffer} bytes */
export function decoded(bytes) {
  return audio().decodeAudioData(bytes);
}

/** @type {Map<string, Promise<AudioBuffer>>} */
const notes = new Map();
/** @type {AudioBufferSourceNode | null} */
let last = null;

/** A note's sound, fetched once. @param {string} harp @param {string} tab @returns {Promise<AudioBuffer>} */
export function note(harp, tab) {
  const key = `${harp}|${tab}`;
  const known = notes.get(key);
  if (known) return known;
  const made = getRaw(`/api/note${query({ harp, tab })}`)
    .then((response) => response.arrayBuffer())
    .then((bytes) => decoded(bytes));
  notes.set(key, made);
  made.catch(() => notes.delete(key));
  return made;
}

/** Sounds a note at once, in place of the one before. @param {string} harp @param {string} tab */
export async function soundNote(harp, tab) {
  const asked = performance.now();
  const buffer = await note(harp, tab);
  last?.stop();
  const source = audio().createBufferSource();
  source.buffer = buffer;
  source.connect(out());
  source.start();
  last = source;
  performance.measure("note", { start: asked });
}

/** Fetches notes ahead, a few at a time, so that a key press sounds at once. @param {string} harp @param {string[]} tabs */
export async function fetchAhead(harp, tabs) {
  for (const tab of tabs) {
    try {
      await note(harp, tab);
    } catch {
      return; // it will be told when the note is asked for by a key
    }
  }
}
