// @ts-check
/** The measuring of the delay: a few clicks to listen to, then some to clap with, and what came of it. */

import { clapsIn, delayOf } from "./calibrate.js";

/** @typedef {import("./microphone.js").Microphone} Microphone */
/** @typedef {import("./ear.d.ts").Calibration} Calibration */
/** @typedef {import("./takes.js").Take} Take */

const BEAT_S = 0.6, LISTEN = 4, CLAP = 10; // 100 a minute, easy to clap to; from memory
const LEVEL = 0.25;                        // starts quiet: about -12 dB
const TAIL_S = 0.8;                        // the slowest wireless headphones
export const EXPLAINED = `You will hear ${LISTEN + CLAP} clicks. Listen to the first ${LISTEN}, then clap or tap near the microphone with each of the others. Wear the headphones you will play with.`;

/** @param {AudioContext} context @param {Take} take which records meanwhile @param {() => boolean} going @returns {Promise<Calibration>} */
export async function measureDelay(context, take, going) {
  const first_s = context.currentTime + 0.3;
  const clicks_s = Array.from({ length: LISTEN + CLAP }, (_, i) => first_s + i * BEAT_S);
  clicks_s.forEach((at_s, i) => click(context, at_s, i < LISTEN ? 1200 : 1600));
  const from_s = clicks_s[LISTEN] - BEAT_S / 2, to_s = clicks_s[clicks_s.length - 1] + TAIL_S;
  while (take.end_s < to_s) {
    if (!going()) return { ok: false, why: "The microphone was closed before all clicks had sounded." };
    await new Promise((done) => setTimeout(done, 50));
  }
  const claps_s = clapsIn(take.cut(from_s, to_s), context.sampleRate).map((at_s) => at_s + from_s);
  return delayOf(clicks_s.slice(LISTEN), claps_s);
}

/** @param {AudioContext} context @param {number} at_s @param {number} hertz */
function click(context, at_s, hertz) {
  const tone = context.createOscillator(), level = context.createGain();
  tone.frequency.value = hertz;
  level.gain.setValueAtTime(LEVEL, at_s);
  level.gain.exponentialRampToValueAtTime(0.001, at_s + 0.04);
  tone.connect(level).connect(context.destination);
  tone.start(at_s);
  tone.stop(at_s + 0.05);
}
