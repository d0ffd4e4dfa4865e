// @ts-check
/**
 * The air in the lungs over the tune, as a curve between its limits: the band is what is comfortable,
 * the broken lines what is possible. Small arcs above or below say where a breath is taken apart
 * from the notes. A bar of the drawing chooses that bar.
 */

import { counted, fill, h, s } from "./dom.js";

/** @typedef {import("./desk.d.ts").Breathing} Breathing */

const TALL = 150, LEFT = 38, TOP = 10, FOOT = 18, NARROWEST = 320; // pixels
const NUMBER = 26; // pixels a bar's number needs

export class Breath extends EventTarget {
  /** Event `bar` {index}. @param {HTMLElement} host */
  constructor(host) {
    super();
    this.host = host;
    this.key = "";
    /** @type {SVGElement | null} */ this.cursor = null;
    /** @type {Breathing | null} */ this.now = null;
    this.wide = NARROWEST;
    new ResizeObserver(() => {
      const wide = Math.max(NARROWEST, Math.round(host.clientWidth));
      if (wide === this.wide) return;
      this.wide = wide;
      if (this.now) this.draw(this.now);
    }).observe(host);
  }

  /** @param {Breathing | null} breathing */
  set(breathing) {
    this.host.classList.toggle("old", !breathing);
    if (!breathing && this.now) return;
    const key = JSON.stringify(breathing);
    if (key === this.key) return;
    this.key = key;
    this.now = breathing;
    this.draw(breathing);
  }

  /** @param {Breathing | null} breathing */
  draw(breathing) {
    if (!breathing || breathing.breath.length < 2) {
      const words = breathing ? "No way to breathe this tune was found; the findings say where it runs out." : "The breath is drawn once the tune can be played.";
      fill(this.host, h("h2", {}, "Breath"), h("p", { class: "soft" }, words));
      return;
    }
    fill(this.host, h("h2", {}, `Breath at ${breathing.tempo_bpm} beats a minute`), this.picture(breathing), h("p", { class: "quiet" }, inWords(breathing)));
  }

  /** @param {Breathing} one */
  picture(one) {
    const { x, y } = scales(one, this.wide);
    const { lungs } = one;
    this.cursor = s("line", { class: "cursor", y1: TOP, y2: TALL - FOOT, x1: -10, x2: -10 });
    return s("svg", { viewBox: `0 0 ${this.wide} ${TALL}`, role: "img", "aria-label": inWords(one) },
      s("rect", { class: "comfortable", x: LEFT, width: this.wide - LEFT, y: y(lungs.comfortable_high_l), height: y(lungs.comfortable_low_l) - y(lungs.comfortable_high_l) }),
      ...[lungs.low_l, lungs.high_l].map((level) => s("line", { class: "limit", x1: LEFT, x2: this.wide, y1: y(level), y2: y(level) })),
      s("text", { x: 4, y: y(lungs.high_l) + 4 }, `${round(lungs.high_l)} l`), s("text", { x: 4, y: y(lungs.low_l) + 4 }, `${round(lungs.low_l)} l`),
      ...this.bars(one, x),
      s("path", { class: "line", d: one.breath.map((at, index) => `${index ? "L" : "M"}${x(at.time_s)} ${y(at.litres)}`).join("") }),
      ...takenAt(one).map(({ time_s, way }) => s("path", { class: "takes", d: arc(x(time_s), way) })),
      this.cursor);
  }

  /** @param {Breathing} one @param {(time_s: number) => number} x */
  bars(one, x) {
    const each = Math.max(1, Math.ceil((one.bar_lines.length * NUMBER) / this.wide));
    return one.bar_lines.flatMap((line, at) => {
      const left = x(line.score_s);
      const right = at + 1 < one.bar_lines.length ? x(one.bar_lines[at + 1].score_s) : this.wide;
      const choose = () => this.dispatchEvent(new CustomEvent("bar", { detail: line.index }));
      return [
        s("line", { class: "barline", x1: left, x2: left, y1: TOP, y2: TALL - FOOT }),
        at % each === 0 && s("text", { x: left + 2, y: TALL - 5 }, String(line.bar)),
        s("rect", { class: "barhit", x: left, y: 0, width: Math.max(right - left, 1), height: TALL, click: choose }),
      ].filter((made) => made);
    }).map((made) => /** @type {SVGElement} */ (made));
  }

  /** @param {number | null} time_s on the clock of this drawing's tempo */
  at(time_s) {
    if (!this.cursor || !this.now) return;
    const place = time_s === null ? -10 : scales(this.now, this.wide).x(time_s);
    this.cursor.setAttribute("x1", String(place));
    this.cursor.setAttribute("x2", String(place));
  }
}

/** @param {Breathing} one @param {number} wide */
function scales(one, wide) {
  const first = one.breath[0].time_s;
  const last = Math.max(one.length_s, one.breath.at(-1)?.time_s ?? 0);
  const { low_l, high_l } = one.lungs;
  const low = Math.min(low_l, ...one.breath.map((at) => at.litres));
  const high = Math.max(high_l, ...one.breath.map((at) => at.litres));
  const tall = TALL - TOP - FOOT - 16;
  return {
    x: (/** @type {number} */ time_s) => fixed(LEFT + ((time_s - first) / (last - first || 1)) * (wide - LEFT)),
    y: (/** @type {number} */ litres) => fixed(TOP + 8 + (1 - (litres - low) / (high - low || 1)) * tall),
  };
}

/** When each breath between notes begins: at the end of the note it comes after. @param {Breathing} one */
function takenAt(one) {
  const ends = new Map(one.events.map((event) => [event.id, event.score_end_s]));
  return one.breaths.flatMap(({ after, way }) => {
    const time_s = ends.get(after);
    return time_s === undefined ? [] : [{ time_s, way }];
  });
}

/** @param {number} left @param {string} way */
function arc(left, way) {
  return way === "in" ? `M${left - 5} 10 q5 9 10 0` : `M${left - 5} 17 q5 -9 10 0`;
}

/** @param {Breathing} one */
function inWords(one) {
  const litres = one.breath.map((at) => at.litres);
  const taken = one.breaths.length;
  return `From ${round(Math.min(...litres))} to ${round(Math.max(...litres))} litres in the lungs; between ${round(one.lungs.low_l)} and ${round(one.lungs.high_l)} is possible, `
    + `${round(one.lungs.comfortable_low_l)} to ${round(one.lungs.comfortable_high_l)} comfortable. ${taken ? `${counted(taken, "breath")} taken between notes.` : "No breath between notes is needed."}`;
}

/** @param {number} litres */
const round = (litres) => litres.toFixed(1);
/** @param {number} value */
const fixed = (value) => Math.round(value * 100) / 100;
