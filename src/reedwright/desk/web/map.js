// @ts-check
/**
 * The form as a map: every bar of every chorus with its chords and the lick that sounds there, four
 * bars to a line. Arrow keys walk over it, Enter goes to the bar's words in the text, and hearing
 * begins there.
 */

import { fill, h } from "./dom.js";

/** @typedef {import("./desk.d.ts").Look} Look */
/** @typedef {import("./desk.d.ts").BarRow} BarRow */

export class FormMap extends EventTarget {
  /** Event `bar` {index}: a bar was chosen. @param {HTMLElement} host */
  constructor(host) {
    super();
    this.host = host;
    this.key = "";
    /** @type {Map<number, HTMLElement>} */ this.bars = new Map();
    this.here = 0;
    host.addEventListener("keydown", (event) => this.walked(event));
  }

  /** @param {Look} look */
  set(look) {
    if (!look.choruses.length) {
      if (!this.key) fill(this.host, h("h2", {}, "Form"), h("p", { class: "soft" }, "The map appears once there is a lick to play."));
      return;
    }
    const key = JSON.stringify([look.form, look.choruses, look.licks]);
    if (key !== this.key) {
      this.key = key;
      this.draw(look);
    }
    this.troubled(look);
  }

  /** @param {Look} look */
  draw(look) {
    const had = this.host.contains(document.activeElement);
    this.bars.clear();
    const names = new Map(look.licks.map((one) => [one.slug, one.name]));
    const parts = [h("h2", {}, look.form.name ? `Form: ${look.form.name}` : "Form")];
    for (const one of look.choruses) {
      if (look.choruses.length > 1) parts.push(h("h3", {}, `Chorus ${one.chorus}`));
      const rows = one.bars.map((bar, at) => this.bar(look, bar, one.chorus, names, one.bars[at - 1]));
      parts.push(h("div", { class: "chorus", role: "group", "aria-label": `Chorus ${one.chorus}` }, ...rows));
    }
    fill(this.host, ...parts);
    this.mark(this.here);
    if (had) this.bars.get(this.here)?.focus();
  }

  /** @param {Look} look @param {BarRow} bar @param {number} chorus @param {Map<string, string>} names
   * @param {BarRow | undefined} before */
  bar(look, bar, chorus, names, before) {
    const chords = (look.form.bars[bar.bar - 1]?.chords ?? []).map((chord) => chord.name);
    const last = before?.licks.at(-1);
    const licks = bar.licks.map((slug) => names.get(slug) ?? slug);
    const begins = bar.licks.length > 0 && bar.licks.at(-1) !== last;
    const goesOn = bar.licks.length > 0 && !begins;
    const fresh = licks.filter((_, at) => bar.licks[at] !== last).join(", ");
    const lick = goesOn
      ? [h("span", { "aria-hidden": true }, "·  ·  ·"), unseen(`${licks.join(", ")} goes on`)]
      : [bar.licks.length ? fresh : h("span", {}, h("span", { "aria-hidden": true }, "–"), unseen("silent"))];
    const made = h("button", { type: "button", class: bar.bar ? "bar" : "bar pickup", tabindex: -1, click: () => this.choose(bar.index) },
      unseen(`Chorus ${chorus} `), h("span", { class: "number" }, unseen(bar.bar ? "bar " : ""), bar.bar ? String(bar.bar) : "pickup"), unseen(": "),
      h("span", { class: "chords" }, chords.join(" ") || "\u00a0"), unseen("; "),
      h("span", { class: `lick${begins ? " begins" : ""}${bar.licks.length ? "" : " rests"}` }, ...lick));
    this.bars.set(bar.index, made);
    return made;
  }

  /** @param {Look} look */
  troubled(look) {
    const bad = new Set(look.findings.filter((one) => one.severity === "error").map((one) => `${one.chorus}.${one.bar}`));
    for (const chorus of look.choruses) {
      for (const bar of chorus.bars) this.bars.get(bar.index)?.classList.toggle("trouble", bad.has(`${chorus.chorus}.${bar.bar}`));
    }
  }

  /** @param {number} index */
  choose(index) {
    this.mark(index);
    this.dispatchEvent(new CustomEvent("bar", { detail: index }));
  }

  /** Shows which bar the caret is in. @param {number} index */
  mark(index) {
    for (const [at, bar] of this.bars) {
      if (at === index) bar.setAttribute("aria-current", "true");
      else bar.removeAttribute("aria-current");
      bar.tabIndex = at === index ? 0 : -1;
    }
    if (!this.bars.has(index)) {
      const first = this.bars.values().next().value;
      if (first) first.tabIndex = 0;
    }
    this.here = index;
  }

  /** Shows which bar sounds; null: none. @param {number | null} index */
  sound(index) {
    for (const bar of this.host.querySelectorAll(".sounding")) bar.classList.remove("sounding");
    if (index !== null) this.bars.get(index)?.classList.add("sounding");
  }

  /** @param {KeyboardEvent} event */
  walked(event) {
    const steps = /** @type {Record<string, number>} */ ({ ArrowRight: 1, ArrowLeft: -1, ArrowDown: 4, ArrowUp: -4 });
    const places = [...this.bars.keys()];
    const at = places.findIndex((index) => this.bars.get(index) === document.activeElement);
    if (at < 0) return;
    const wanted = event.key === "Home" ? 0 : event.key === "End" ? places.length - 1 : at + (steps[event.key] ?? 0);
    if (wanted === at && !["Home", "End"].includes(event.key)) return;
    event.preventDefault();
    const next = this.bars.get(places[Math.max(0, Math.min(places.length - 1, wanted))]);
    this.bars.forEach((bar) => { bar.tabIndex = -1; });
    if (next) {
      next.tabIndex = 0;
      next.focus();
    }
  }
}

/** What only a screen reader says. @param {string} words */
function unseen(words) {
  return h("span", { class: "unseen" }, words);
}
