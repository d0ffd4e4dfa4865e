// @ts-check
/**
 * Completion where words of a set stand: forms, harps, tunings after their headers, licks in a
 * chorus. Offers come from the server; Ctrl+Space asks for them, typing does where only a few words
 * can stand. Enter or Tab takes one, Escape sends them away.
 */

import { get, query } from "./api.js";
import { h, say } from "./dom.js";
import { lineAround } from "./text.js";

/** @typedef {import("./editor.js").Editor} Editor */
/** @typedef {{kind: string, prefix: string, from: number}} Asked */

const HEADERS = /** @type {Record<string, string>} */ ({ form: "form", harp: "harp", tuning: "tuning" });

export class Complete {
  /** @param {Editor} editor @param {string} name */
  constructor(editor, name) {
    this.editor = editor;
    this.name = name;
    /** @type {string[]} */ this.offers = [];
    this.chosen = 0;
    this.from = 0;
    this.asked = 0;
    this.box = h("ul", { class: "offers", id: "offers", role: "listbox", "aria-label": "Offers", hidden: true });
    editor.both.append(this.box);
    editor.area.setAttribute("aria-controls", "offers");
    editor.area.addEventListener("keydown", (event) => this.keyed(event));
    editor.area.addEventListener("blur", () => setTimeout(() => this.close(), 150));
    editor.addEventListener("change", (event) => this.typed(/** @type {CustomEvent} */ (event)));
    editor.addEventListener("caret", () => {
      if (!this.box.hidden && (editor.caret < this.from || editor.text.slice(this.from, editor.caret).includes("\n"))) this.close();
    });
  }

  /** @param {CustomEvent} event */
  typed(event) {
    if (!event.detail.composing && document.activeElement === this.editor.area) this.ask(false);
  }

  /** @param {KeyboardEvent} event */
  keyed(event) {
    if (event.isComposing) return;
    if (event.key === " " && event.ctrlKey) {
      event.preventDefault();
      this.ask(true);
      return;
    }
    if (this.box.hidden) return;
    const keys = /** @type {Record<string, () => void>} */ ({
      ArrowDown: () => this.choose(this.chosen + 1), ArrowUp: () => this.choose(this.chosen - 1),
      Enter: () => this.take(this.chosen), Tab: () => this.take(this.chosen), Escape: () => this.close(),
    });
    const doing = keys[event.key];
    if (!doing) return;
    event.preventDefault();
    event.stopPropagation();
    doing();
  }

  /** @param {boolean} wanted whether the writer asked for it */
  async ask(wanted) {
    const asked = askedAt(this.editor.text, this.editor.caret);
    const turn = (this.asked += 1);
    if (!asked) return this.close(wanted ? "Nothing to offer here." : "");
    const values = { kind: asked.kind, prefix: asked.prefix, name: this.name, tune: this.name };
    const told = await get(`/api/complete${query(values)}`).catch(() => null);
    if (turn !== this.asked) return undefined;
    const list = /** @type {any[]} */ (Array.isArray(told) ? told : told?.offers ?? told?.completions ?? []);
    const offers = list.map((one) => String(one.text ?? one)).slice(0, 60);
    const only = offers.length === 1 && offers[0] === asked.prefix;
    if (!offers.length || only) return this.close(wanted ? "Nothing to offer here." : "");
    return this.open(offers, asked.from);
  }

  /** @param {string[]} offers @param {number} from */
  open(offers, from) {
    this.offers = offers;
    this.from = from;
    this.box.replaceChildren(...offers.map((offer, at) => h("li", {
      role: "option", id: `offer-${at}`, mousedown: (/** @type {Event} */ event) => { event.preventDefault(); this.take(at); },
    }, offer)));
    const place = this.editor.boxAt(from);
    this.box.hidden = false;
    if (place) {
      const room = this.editor.both.clientWidth - this.box.offsetWidth - 8;
      this.box.style.left = `${Math.max(4, Math.min(place.left, room))}px`;
      this.box.style.top = `${place.bottom + 2}px`;
      this.editor.reveal(from);
    }
    this.choose(0);
    say(`${offers.length} offers; ${offers[0]}`);
  }

  /** @param {number} at */
  choose(at) {
    this.chosen = (at + this.offers.length) % this.offers.length;
    [...this.box.children].forEach((row, index) => row.setAttribute("aria-selected", String(index === this.chosen)));
    this.editor.area.setAttribute("aria-activedescendant", `offer-${this.chosen}`);
    this.box.children[this.chosen].scrollIntoView({ block: "nearest" });
  }

  /** @param {number} at */
  take(at) {
    const offer = this.offers[at];
    const { text, caret } = this.editor;
    const after = text.slice(0, this.from) + offer + text.slice(caret);
    this.editor.write(after, this.from + offer.length);
    this.asked += 1;
    this.close();
  }

  close(words = "") {
    this.box.hidden = true;
    this.editor.area.removeAttribute("aria-activedescendant");
    if (words) say(words);
  }
}

/** What is being written at a caret, if it is of a set. @param {string} text @param {number} caret @returns {Asked | null} */
export function askedAt(text, caret) {
  const line = lineAround(text, caret);
  const before = text.slice(line.from, caret);
  const header = /^(form|harp|tuning)\s*:\s*(.*)$/i.exec(before);
  if (header) return { kind: HEADERS[header[1].toLowerCase()], prefix: header[2], from: caret - header[2].length };
  const entry = /^\s*(?:\d+(?:-\d+)?\s*:\s*as|\d+\s*:?)\s+([^,:{}&=.']*)$/i.exec(before);
  const inChorus = /(?:^|\n)\s*chorus\b[^\n]*\n(?:(?!\s*lick\b)[^\n]*\n)*$/i.test(text.slice(0, line.from));
  const borrowed = /:\s*as\s/i.test(before);
  if (entry && (inChorus || borrowed)) return { kind: "lick", prefix: entry[1], from: caret - entry[1].length };
  return null;
}
