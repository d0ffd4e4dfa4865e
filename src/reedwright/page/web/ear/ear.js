// @ts-check
/**
 * The ear of a lick: hear yourself, measure the delay, play and look back. The one door of this
 * folder: `mountEar(host, {lesson, player, scope})`. Everything works by keyboard; what is drawn is
 * also said in words. The delay is the page's, shared by all its licks.
 */

import { EXPLAINED, measureDelay } from "./clicking.js";
import { h } from "./dom.js";
import { Live } from "./live.js";
import { AFTER_S, BEFORE_S, aboutPass, lookBack, slice } from "./lookback.js";
import { Microphone } from "./microphone.js";
import { results, signOf } from "./results.js";
import { Take } from "./takes.js";
import { FREE_S, Trace } from "./trace.js";
import { wantedIn } from "./wanted.js";
import { fileName, wavOf } from "./wav.js";
import { PRIVATE, trouble } from "./words.js";

/** @typedef {import("./ear.d.ts").EarParts} EarParts */
/** @typedef {import("./ear.d.ts").Calibration} Calibration */
/** @typedef {import("./ear.d.ts").Reading} Reading */
/** @typedef {import("./ear.d.ts").Wanted} Wanted */
/** @typedef {import("./ear.d.ts").Scope} Scope */
/** @typedef {import("./lookback.js").Pass} Pass */

/** The page's delay, once measured. @type {{now: Extract<Calibration, {ok: true}> | null}} */
const delay = { now: null };

/** @param {HTMLElement} host @param {EarParts} parts */
export function mountEar(host, parts) {
  const ear = new Ear(host, parts);
  return { close: () => ear.close(), drawn_ms: () => [...ear.drawn_ms] };
}

class Ear {
  /** @param {HTMLElement} host @param {EarParts} parts */
  constructor(host, parts) {
    this.parts = parts;
    /** @type {Microphone | null} */ this.microphone = null;
    /** @type {Take | null} */ this.take = null;
    /** @type {{scope: Scope, wanted: Wanted[], at_s: number} | null} */ this.running = null;
    /** @type {AudioBufferSourceNode | null} */ this.again = null;
    /** @type {number[]} */ this.drawn_ms = [];
    this.waiting_s = 0;
    this.kept = false; // the line of the last pass stays to be looked at
    this.live = new Live(parts.lesson.notes);
    const button = (/** @type {string} */ text, /** @type {() => void} */ press) => h("button", { type: "button", click: press }, text);
    this.listen = button("Hear yourself", () => void this.toggle());
    this.measure = button("Measure the delay", () => void this.calibrate());
    this.record = button("Play and look back", () => void this.pass());
    this.worn = h("input", { type: "checkbox" });
    this.says = h("p", { class: "ear-says" }, "The microphone is closed.");
    this.tells = h("p", { class: "ear-tells", role: "status", "aria-live": "polite" });
    this.canvas = h("canvas", { class: "ear-trace", role: "img", "aria-label": "Your pitch over time against the notes of the tab; the same is said in words below" });
    this.looked = h("div", {});
    this.measure.disabled = this.record.disabled = true;
    host.append(h("div", { class: "ear" }, h("p", { class: "ear-quiet" }, PRIVATE),
      h("div", { class: "ear-buttons" }, this.listen, this.measure, this.record, h("label", {}, this.worn, " I wear headphones")),
      this.tells, this.says, this.canvas, this.looked));
    this.trace = new Trace(this.canvas, parts.lesson.notes, parts.lesson.marking);
    this.rescoped = () => this.free();
    for (const name of ["scope", "tempo"]) parts.player.addEventListener(name, this.rescoped);
    this.free();
  }

  get context() { return this.parts.player.context(); }

  async toggle() {
    if (this.microphone?.open) { this.close(); return; }
    try {
      await this.open();
    } catch (error) {
      this.microphone = null;
      this.tell(trouble(error));
    }
  }

  async open() {
    const url = this.parts.worklet_url ?? new URL("./worklet.js", import.meta.url).href;
    const microphone = new Microphone(this.context, url);
    this.microphone = microphone;
    this.live = new Live(this.parts.lesson.notes);
    microphone.addEventListener("readings", (event) => this.heard(/** @type {CustomEvent} */ (event).detail));
    microphone.addEventListener("samples", (event) => this.take?.add(/** @type {CustomEvent} */ (event).detail));
    microphone.addEventListener("lost", () => { this.shut(); this.tell("The microphone was taken away."); });
    await microphone.start(Math.min(...this.parts.lesson.notes.map((note) => note.hertz)) * 2 ** (-1.5 / 12));
    this.listen.textContent = "Close the microphone";
    this.measure.disabled = this.record.disabled = false;
    this.tell(delay.now ? "The microphone is open." : "The microphone is open. To be told early from late, wear headphones and measure the delay.");
  }

  close() { this.microphone?.stop(); this.shut(); this.tell("The microphone is closed."); }

  shut() {
    this.running = null; this.take = null;
    this.listen.textContent = "Hear yourself";
    this.measure.disabled = this.record.disabled = true;
    this.says.textContent = "The microphone is closed.";
  }

  /** @param {string} words */
  tell(words) { this.tells.textContent = words; }

  /** The sheet without a running tune. */
  free() {
    if (this.running) return;
    this.kept = false;
    this.looked.replaceChildren();
    this.trace.ask(this.wanted(), 0, FREE_S, false);
  }

  wanted() { return wantedIn(this.parts.lesson, this.parts.scope(), this.parts.player.tempo); }

  /** @param {{readings: Reading[], sent_s: number}} news */
  heard({ readings, sent_s }) {
    const running = this.running, offset_s = delay.now?.offset_s ?? 0;
    for (const one of readings) {
      const time_s = running ? one.time_s - offset_s - running.at_s : one.time_s % FREE_S;
      if (running ? time_s <= running.scope.to_s : !this.kept) this.trace.add(time_s, one.hertz);
    }
    const words = this.live.hear(readings, this.parts.scope().event_ids.length > 0 ? this.trace.wanted.flatMap((want) => want.tab) : []);
    if (words !== null) this.says.textContent = words;
    if (this.waiting_s === 0) requestAnimationFrame(() => this.drawNow());
    this.waiting_s = this.waiting_s || sent_s;
  }

  drawNow() {
    this.trace.draw();
    if (this.drawn_ms.length < 5000) this.drawn_ms.push(1000 * (this.context.currentTime - this.waiting_s));
    this.waiting_s = 0;
  }

  async calibrate() {
    const take = this.begin(EXPLAINED);
    const found = await measureDelay(this.context, take, () => this.take === take);
    if (this.take === take) this.ready();
    if (!found.ok) { this.tell(`No delay was measured. ${found.why}`); return; }
    delay.now = found;
    this.tell(`The delay is ${Math.round(found.offset_s * 1000)} ms, from ${found.used} claps that differ by ${Math.round(found.spread_ms)} ms. Measure again when you change headphones.`);
  }

  /** A recording begins. @param {string} words */
  begin(words) {
    this.tell(words);
    this.measure.disabled = this.record.disabled = true;
    this.looked.replaceChildren();
    this.take = new Take(this.context.sampleRate);
    return this.take;
  }

  ready() { this.take = null; this.measure.disabled = this.record.disabled = !this.microphone?.open; }

  async pass() {
    const scope = this.parts.scope(), wanted = this.wanted(), { player } = this.parts;
    if (wanted.length === 0) { this.tell("There are no notes here to play."); return; }
    const take = this.begin(this.worn.checked ? "Play along from the count-in." : "Play along from the count-in. Without headphones turn the band down, or the microphone hears it too.");
    await player.play({ from_s: scope.from_s, to_s: scope.to_s, loop: false, count_in: true });
    const at_s = player.at_context_s(scope.from_s) - scope.from_s, offset_s = delay.now?.offset_s ?? 0;
    this.running = { scope, wanted, at_s };
    this.trace.ask(wanted, scope.from_s, scope.to_s, true);
    const end_s = at_s + offset_s + scope.to_s + AFTER_S;
    while (take.end_s < end_s && this.take === take) await new Promise((done) => setTimeout(done, 50));
    if (this.take === take) this.look(take, at_s + offset_s, offset_s);
  }

  /** @param {Take} take @param {number} zero_s context time of the performance's zero, as heard @param {number} offset_s */
  look(take, zero_s, offset_s) {
    const { scope, wanted } = /** @type {{scope: Scope, wanted: Wanted[]}} */ (this.running), { lesson, player } = this.parts;
    const start_s = scope.from_s - BEFORE_S, samples = take.cut(zero_s + start_s, zero_s + scope.to_s + AFTER_S);
    const clock = delay.now && this.worn.checked ? "measured" : "own pulse";
    const one = lookBack({ samples, rate_hz: take.rate_hz, start_s, offset_s, scope, wanted, lesson, clock });
    one.pass.verdicts.forEach((verdict) => this.trace.signs.set(verdict.wanted.id, signOf(verdict)));
    this.trace.draw();
    this.running = null;
    this.kept = true;
    this.ready();
    this.tell("Look back at your pass below.");
    this.looked.replaceChildren(results(one, lesson.notes, (verdict) => verdict.heard && this.replay(one, verdict.heard.start_s, verdict.heard.end_s), () => this.save(one)), h("button", { type: "button", click: () => this.free() }, "Clear, and listen again"));
    player.dispatchEvent(new CustomEvent("pass", { detail: { slug: scope.slug, piece: scope.piece, tempo_bpm: scope.tempo_bpm, clean: one.pass.clean } }));
  }

  /** @param {Pass} one @param {number} from_s @param {number} to_s */
  replay(one, from_s, to_s) {
    const samples = slice(one, from_s, to_s), buffer = this.context.createBuffer(1, Math.max(1, samples.length), one.rate_hz);
    buffer.copyToChannel(samples, 0);
    this.again?.stop();
    this.again = this.context.createBufferSource();
    this.again.buffer = buffer;
    this.again.connect(this.context.destination);
    this.again.start();
  }

  /** @param {Pass} one */
  save(one) {
    const { title } = this.parts.lesson, bytes = wavOf(one.samples, one.rate_hz, aboutPass(one, title));
    const link = h("a", { href: URL.createObjectURL(new Blob([bytes], { type: "audio/wav" })), download: fileName(title, one.scope.tempo_bpm) });
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  }
}
