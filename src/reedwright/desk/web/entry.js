// @ts-check
/**
 * Writing by keys: a figure is a hole, Shift the other way of breath, an apostrophe a half step of
 * bend; the value of a note is chosen by the count and stays until another is chosen. Every key
 * writes into the text at once and sounds; Backspace takes the last one back.
 */

import { bent, columnOf, joined, licksOf, put, TICKS, ticksOf, whereIs, written } from "./bars.js";
import { fill, h, say, the } from "./dom.js";
import { inWords } from "./api.js";
import { fetchAhead, soundNote } from "./sound.js";
import { lineAround, lineStart } from "./text.js";

/** @typedef {import("./editor.js").Editor} Editor */
/** @typedef {{bar: number, tick: number}} Point the bar's number in its lick, and how far into it */

const VALUES = [
  { ticks: TICKS / 4, words: "quarter of a beat" }, { ticks: TICKS / 3, words: "third of a beat" },
  { ticks: TICKS / 2, words: "half a beat" }, { ticks: TICKS, words: "one beat" },
  { ticks: 2 * TICKS, words: "two beats" }, { ticks: 3 * TICKS, words: "three beats" }, { ticks: 4 * TICKS, words: "four beats" },
];
const DEFAULT_HOLES = 10; // a diatonic harp

export class Entry {
  /** @param {HTMLElement} host @param {Editor} editor */
  constructor(host, editor) {
    this.host = host;
    this.editor = editor;
    this.harp = "C";
    this.beats = 4;
    this.value = 3;
    this.breath = "d";
    this.tens = false;
    this.joining = false;
    /** @type {{lick: string, point: Point, last: Point | null}} */
    this.here = { lick: "", point: { bar: 1, tick: 0 }, last: null };
    /** @type {typeof this.here[]} */ this.before = [];
    this.writing = false;
    this.draft = ""; // the text while a key is at work on it, so that a key is one step of undo
    this.caretAt = 0;
    this.told = h("p", { class: "told", id: "entry-told" });
    this.holes = h("div", { class: "holes", role: "group", "aria-label": "Holes" });
    this.build();
    editor.addEventListener("caret", () => {
      if (!this.host.hidden && !this.writing) this.find();
    });
  }

  build() {
    this.host.className = "entry-strip";
    this.pad = h("div", {
      class: "pad", tabindex: 0, role: "application", "aria-label": "Write by keys", "aria-describedby": "entry-told entry-hint",
      keydown: (/** @type {KeyboardEvent} */ event) => this.keyed(event),
    }, this.told, h("p", { class: "keyhint", id: "entry-hint" },
      h("kbd", {}, "1"), "–", h("kbd", {}, "9"), " ", h("kbd", {}, "0"), " a hole · ", h("kbd", {}, "Shift"), " the other breath · ", h("kbd", {}, "B"), h("kbd", {}, "D"), " breath · ",
      h("kbd", {}, "'"), h("kbd", {}, "H"), " bend · ", h("kbd", {}, "+"), " one more hole · ", h("kbd", {}, "↑"), h("kbd", {}, "↓"), " value · ", h("kbd", {}, "="), " hold · ", h("kbd", {}, "."), " rest · ",
      h("kbd", {}, "⌫"), " back · ", h("kbd", {}, "T"), " then a figure: 10 more · ", h("kbd", {}, "Esc"), " done"));
    fill(this.host, this.pad, this.holes);
    this.buttons(DEFAULT_HOLES);
  }

  /** @param {number} count */
  buttons(count) {
    const press = (/** @type {number} */ hole) => this.hole(hole, this.breath);
    const holes = Array.from({ length: count }, (_, at) => h("button", { type: "button", click: () => press(at + 1), "aria-label": `Hole ${at + 1}` }, String(at + 1)));
    fill(this.holes, ...holes,
      h("button", { type: "button", click: () => this.turn(), id: "entry-breath" }, this.breathWord),
      h("button", { type: "button", click: () => this.bend() , "aria-label": "Bend the last note" }, "'"),
      h("button", { type: "button", click: () => this.write("="), "aria-label": "Hold" }, "="),
      h("button", { type: "button", click: () => this.write("."), "aria-label": "Rest" }, "."),
      h("button", { type: "button", click: () => this.longer(-1), "aria-label": "Shorter value" }, "↓"),
      h("button", { type: "button", click: () => this.longer(1), "aria-label": "Longer value" }, "↑"));
  }

  get breathWord() {
    return this.breath === "d" ? "draw" : "blow";
  }

  open() {
    this.host.hidden = false;
    this.find();
    this.pad?.focus();
    const near = Array.from({ length: DEFAULT_HOLES }, (_, at) => [`${at + 1}d`, `${at + 1}b`]).flat();
    fetchAhead(this.harp, near);
    say("Write by keys. A figure is a hole; Escape ends it.");
  }

  close() {
    this.host.hidden = true;
    this.editor.area.focus();
  }

  /** Finds where the next note goes, from the caret. */
  find() {
    const licks = licksOf(this.editor.text);
    const at = whereIs(licks, this.editor.caret);
    const lick = at.lick ?? licks.at(-1);
    this.before = [];
    const lastBar = lick?.bars.at(-1)?.number ?? 0;
    let point = { bar: lick?.bars.length ? lastBar + 1 : 1, tick: 0 };
    if (at.bar && at.cell && at.part) {
      const each = TICKS / at.cell.parts.length;
      const begin = (at.cellNumber - 1) * TICKS + (at.partNumber - 1) * each;
      point = this.ahead({ bar: at.bar.number, tick: 0 }, this.editor.caret > at.part.from ? begin + each : begin);
    }
    this.here = { lick: lick?.name ?? "", point, last: null };
    this.tell();
  }

  /** @param {Point} point @param {number} ticks @returns {Point} */
  ahead(point, ticks) {
    const whole = this.beats * TICKS;
    const far = point.tick + Math.round(ticks);
    return { bar: point.bar + Math.floor(far / whole), tick: far % whole };
  }

  tell(/** @type {string} */ words = "") {
    const { bar, tick } = this.here.point;
    const rest = (tick % TICKS) / TICKS;
    const beat = `${Math.floor(tick / TICKS) + 1}${rest ? ` and ${fraction(rest)}` : ""}`;
    const next = `${this.here.lick || "A new lick"}, bar ${bar} beat ${beat}: ${this.breathWord}, ${VALUES[this.value].words}`;
    if (this.told) fill(this.told, h("strong", {}, words && `${words} `), `Next ${next}.`);
    const turn = document.getElementById("entry-breath");
    if (turn) turn.textContent = this.breathWord;
  }

  /** @param {KeyboardEvent} event */
  keyed(event) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const figure = /^(?:Digit|Numpad)(\d)$/.exec(event.code) ?? /^(\d)$/.exec(event.key);
    const doing = figure ? () => this.figure(Number(figure[1]), event.shiftKey) : this.doing(event.key);
    if (!doing) return;
    event.preventDefault();
    event.stopPropagation();
    performance.mark("keystroke");
    doing();
  }

  /** @param {string} key @returns {(() => void) | undefined} */
  doing(key) {
    /** @type {Record<string, () => void>} */
    const keys = {
      "'": () => this.bend(), "’": () => this.bend(), h: () => this.bend(), "=": () => this.write("="), ".": () => this.write("."), " ": () => this.write("."),
      "+": () => { this.joining = true; this.tell("And with it hole …"); }, t: () => { this.tens = true; this.tell("Ten and …"); },
      b: () => this.setBreath("b"), d: () => this.setBreath("d"), ArrowUp: () => this.longer(1), ArrowDown: () => this.longer(-1),
      Backspace: () => this.takeBack(), Escape: () => the("entry").click(),
    };
    return keys[key.length === 1 ? key.toLowerCase() : key];
  }

  /** @param {number} figure @param {boolean} shift */
  figure(figure, shift) {
    const hole = this.tens ? 10 + figure : figure || 10;
    this.tens = false;
    this.hole(hole, shift ? (this.breath === "d" ? "b" : "d") : this.breath);
  }

  /** @param {number} hole @param {string} breath */
  hole(hole, breath) {
    if (this.joining) this.again((text) => joined(text, hole, /b/.test(text) ? "b" : "d"));
    else this.write(`${hole}${breath}`);
    this.joining = false;
  }

  turn() {
    this.setBreath(this.breath === "d" ? "b" : "d");
  }

  /** @param {string} breath */
  setBreath(breath) {
    this.breath = breath;
    this.tell();
  }

  /** @param {number} step */
  longer(step) {
    this.value = Math.max(0, Math.min(VALUES.length - 1, this.value + step));
    this.tell();
  }

  bend() {
    this.again(bent);
  }

  /** Writes a note, a hold or a rest where the next one goes. @param {string} text */
  write(text) {
    this.before.push(this.here);
    const { point } = this.here;
    const length = VALUES[this.value].ticks;
    this.draft = this.editor.text;
    this.place(point, length, text);
    this.commit();
    const last = /\d/.test(text) ? point : this.here.last;
    this.here = { lick: this.here.lick, point: this.ahead(point, length), last };
    this.tell(text);
    if (/\d/.test(text)) this.hear(text);
  }

  /** Writes the last note in another way. @param {(text: string) => string} change */
  again(change) {
    const { last } = this.here;
    if (!last) return this.tell("No note yet to change.");
    this.draft = this.editor.text;
    const bar = this.barOf(last.bar);
    const ticks = bar && ticksOf(bar, this.beats);
    if (!bar || !ticks) return;
    const text = change(ticks[last.tick]);
    ticks[last.tick] = text;
    this.put(bar, ticks, last.tick);
    this.commit();
    this.before.push(this.here);
    this.tell(text);
    this.hear(text);
  }

  /** @param {string} text */
  hear(text) {
    soundNote(this.harp, text).catch((error) => this.tell(inWords(error)));
  }

  takeBack() {
    const before = this.before.pop();
    if (!before) return;
    this.writing = true;
    this.editor.undo.back();
    this.writing = false;
    this.here = before;
    this.tell("Taken back.");
  }

  /** @param {number} number */
  barOf(number) {
    const lick = licksOf(this.draft).find((one) => one.name === this.here.lick);
    return lick?.bars.find((bar) => bar.number === number);
  }

  /** @param {Point} point @param {number} length @param {string} text */
  place(point, length, text) {
    let left = length;
    let { bar: number, tick } = point;
    let now = text;
    while (left > 0) {
      const bar = this.barOf(number) ?? this.grown(number);
      const ticks = ticksOf(bar, this.beats) ?? Array(this.beats * TICKS).fill(".");
      const here = Math.min(left, ticks.length - tick);
      put(ticks, tick, here, now);
      this.put(bar, ticks, tick);
      left -= here;
      number += 1;
      tick = 0;
      now = text === "." ? "." : "=";
    }
  }

  /** A bar that is not there yet, in a lick that is perhaps not there yet. @param {number} number */
  grown(number) {
    const text = this.draft;
    const lick = licksOf(text).find((one) => one.name === this.here.lick);
    const line = written(number, Array(this.beats * TICKS).fill("."));
    if (!lick) {
      this.here = { ...this.here, lick: "One" };
      this.draft = `${text.replace(/\n*$/, "")}\n\nLick One\n${line}\n`;
    } else {
      const at = lick.bars.at(-1)?.to ?? lick.from + lineAround(text, lick.from).text.length;
      this.draft = `${text.slice(0, at)}\n${line}${text.slice(at)}`;
    }
    return /** @type {import("./bars.js").Bar} */ (this.barOf(number));
  }

  /** @param {import("./bars.js").Bar} bar @param {string[]} ticks @param {number} tick */
  put(bar, ticks, tick) {
    const line = lineAround(this.draft, lineStart(this.draft, bar.line));
    const next = written(bar.number, ticks, bar.cells.map((cell) => cell.lead));
    this.caretAt = line.from + columnOf(next, tick);
    this.draft = this.draft.slice(0, line.from) + next + this.draft.slice(line.to);
  }

  commit() {
    this.writing = true;
    this.editor.write(this.draft, this.caretAt);
    this.writing = false;
  }
}

/** @param {number} rest */
function fraction(rest) {
  const known = { 0.25: "a quarter", 0.5: "a half", 0.75: "three quarters" };
  return /** @type {Record<number, string>} */ (known)[rest] ?? (rest < 0.5 ? "a third" : "two thirds");
}
