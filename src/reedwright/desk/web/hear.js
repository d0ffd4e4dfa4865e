// @ts-check
/**
 * Hearing: from the bar at the caret or any other, a lick or the whole, at any tempo, harp, band and
 * clicks, acoustic or amplified. The cursor follows in the text, the music, the map and the breath.
 * Alt+P starts and stops from anywhere.
 */

import { getRaw, inWords, of, query, stopped } from "./api.js";
import { fill, h, say } from "./dom.js";
import { audio, decoded, out, setLevel } from "./sound.js";

/** @typedef {{id: string, from_s: number, to_s: number}} Heard */
/** @typedef {{bars: {index: number, from_s: number}[], events: Heard[], offset_s: number}} Times */
/** @typedef {{from: number, bars: number | undefined, words: string}} Span */

export class Hear extends EventTarget {
  /**
   * Event `at` {id, bar}: what sounds now; null at the end.
   * @param {HTMLElement} host @param {string} name @param {{kept: () => Promise<number>, here: () => number, lick: () => Span | null}} ask
   */
  constructor(host, name, ask) {
    super();
    this.host = host;
    this.name = name;
    this.ask = ask;
    /** @type {AbortController | null} */ this.asked = null;
    /** @type {AudioBufferSourceNode | null} */ this.source = null;
    this.beginning = 0;
    this.first = 0;
    this.bars = 0;
    this.build();
  }

  build() {
    this.play = h("button", { type: "button", class: "main play", id: "play", "aria-keyshortcuts": "Alt+P", click: () => this.toggle() }, "Hear");
    this.what = h("select", { id: "hear-what", "aria-label": "What to hear" },
      h("option", { value: "on" }, "from this bar"), h("option", { value: "bar" }, "this bar"), h("option", { value: "lick" }, "this lick"), h("option", { value: "all" }, "all of it"));
    this.tempo = h("input", { type: "number", id: "hear-tempo", min: 20, max: 300, step: 1, "aria-label": "Tempo in beats a minute", list: "tempos" });
    this.tempos = h("datalist", { id: "tempos" });
    this.state = h("p", { class: "state", id: "hear-state" });
    const tick = (/** @type {string} */ id, /** @type {string} */ words, /** @type {boolean} */ on) => h("label", {}, h("input", { type: "checkbox", id, checked: on }), ` ${words}`);
    this.voice = h("select", { id: "hear-voice", "aria-label": "Sound of the harp" }, h("option", { value: "acoustic" }, "acoustic"), h("option", { value: "amplified" }, "amplified"));
    this.level = h("input", { type: "range", id: "hear-level", min: 0, max: 1, step: 0.01, value: 0.5, "aria-label": "Loudness", input: () => setLevel(Number(this.level?.value)) });
    fill(this.host, h("div", { class: "row" }, this.play, this.what,
      h("label", {}, this.tempo, h("span", { class: "a-minute" }, " a minute")), this.tempos, this.state,
      h("details", {}, h("summary", {}, "Sound"), h("div", { class: "more" },
        tick("hear-harp", "harp", true), tick("hear-band", "band", true), tick("hear-click", "clicks", false), tick("hear-loop", "again and again", false),
        h("label", {}, "harp ", this.voice), h("label", {}, "loudness ", this.level), h("span", { class: "quiet" }, "Start quietly, on headphones above all.")))));
  }

  /** @param {number[]} tempos @param {number} bars */
  set(tempos, bars) {
    this.bars = bars;
    fill(/** @type {HTMLElement} */ (this.tempos), ...tempos.map((tempo) => h("option", { value: tempo })));
    if (this.tempo && !this.tempo.value && tempos.length) this.tempo.value = String(tempos.at(-1));
  }

  toggle() {
    if (this.source || this.asked) this.stop();
    else this.start();
  }

  /** @returns {Span} */
  span() {
    const what = this.what?.value ?? "on";
    const here = this.ask.here();
    const lick = this.ask.lick();
    if (what === "bar") return { from: here, bars: 1, words: "this bar" };
    if (what === "lick" && lick) return lick;
    if (what === "all") return { from: 0, bars: undefined, words: "all of it" };
    return { from: Math.max(0, here), bars: undefined, words: "on from here" };
  }

  /** @param {Span} [span] */
  async start(span = this.span()) {
    this.stop();
    audio();
    const asked = (this.asked = new AbortController());
    this.show("Making the sound …", true);
    const from = performance.now();
    try {
      const version = await this.ask.kept();
      const response = await getRaw(of(this.name, "sound") + this.query(version, span), asked.signal);
      const times = timesOf(response.headers.get("X-Times"));
      const buffer = await decoded(await response.arrayBuffer());
      if (asked.signal.aborted) return;
      this.asked = null;
      this.run(buffer, times, span);
      performance.measure("hear", { start: from });
    } catch (error) {
      if (stopped(error)) return;
      this.asked = null;
      this.show(inWords(error), false, true);
      say(inWords(error));
    }
  }

  /** @param {number} version @param {Span} span */
  query(version, span) {
    const on = (/** @type {string} */ id) => /** @type {HTMLInputElement} */ (document.getElementById(id)).checked;
    const parts = ["harp", "band", "click"].filter((part) => on(`hear-${part}`)).join(",");
    return query({
      version, from_bar: span.from, bars: span.bars, tempo: this.tempo?.value || undefined, parts, voice: this.voice?.value,
    });
  }

  /** @param {AudioBuffer} buffer @param {Times} times @param {Span} span */
  run(buffer, times, span) {
    const source = audio().createBufferSource();
    source.buffer = buffer;
    source.loop = /** @type {HTMLInputElement} */ (document.getElementById("hear-loop")).checked;
    source.connect(out());
    source.onended = () => this.source === source && this.stop();
    this.beginning = audio().currentTime + 0.02;
    source.start(this.beginning);
    this.source = source;
    this.show(`Playing ${span.words}`, true);
    this.follow(source, times, buffer.duration);
  }

  /** @param {AudioBufferSourceNode} source @param {Times} times @param {number} length_s */
  follow(source, times, length_s) {
    let last = "";
    const step = () => {
      if (this.source !== source) return;
      const late = audio().outputLatency || audio().baseLatency || 0;
      const run_s = audio().currentTime - this.beginning - late;
      const now_s = times.offset_s + (source.loop && run_s > 0 ? run_s % length_s : run_s);
      const event = times.events.findLast((one) => one.from_s <= now_s && now_s < one.to_s);
      const bar = times.bars.findLast((one) => one.from_s <= now_s + 1e-6);
      const key = `${event?.id}|${bar?.index}`;
      if (key !== last) this.dispatchEvent(new CustomEvent("at", { detail: { id: event?.id ?? "", bar: bar?.index ?? null } }));
      last = key;
      this.dispatchEvent(new CustomEvent("clock", { detail: now_s }));
      requestAnimationFrame(step);
    };
    requestAnimationFrame(step);
  }

  stop() {
    this.asked?.abort();
    this.asked = null;
    const { source } = this;
    this.source = null;
    if (source) source.stop();
    this.dispatchEvent(new CustomEvent("at", { detail: { id: "", bar: null } }));
    this.dispatchEvent(new CustomEvent("clock", { detail: null }));
    this.show("", false);
  }

  /** @param {string} words @param {boolean} busy @param {boolean} [trouble] */
  show(words, busy, trouble = false) {
    if (this.play) this.play.textContent = busy ? "Stop" : "Hear";
    if (!this.state) return;
    this.state.textContent = words;
    this.state.classList.toggle("trouble", trouble);
  }
}

/** @param {string | null} header @returns {Times} */
export function timesOf(header) {
  const told = header ? JSON.parse(header) : {};
  const bars = (told.bars ?? told.bar_lines ?? []).map((/** @type {any} */ one) => ({ index: one.index ?? one.bar, from_s: one.score_s ?? one.from_s }));
  const events = (told.events ?? []).map((/** @type {any} */ one) => Array.isArray(one)
    ? { id: one[0], from_s: one[1], to_s: one[2] }
    : { id: one.id, from_s: one.played_s ?? one.score_s ?? one.from_s, to_s: one.played_end_s ?? one.score_end_s ?? one.to_s });
  return { bars, events, offset_s: told.offset_s ?? 0 };
}
