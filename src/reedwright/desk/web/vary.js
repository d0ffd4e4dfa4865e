// @ts-check
/**
 * Other ways to play the lick at the caret, offered in place, each with why it fits. Taking one
 * writes its bars over the lick's own: one step of undo.
 */

import { inWords, of, post } from "./api.js";
import { licksOf, whereIs } from "./bars.js";
import { button, fill, h, say, show } from "./dom.js";

/** @typedef {import("./editor.js").Editor} Editor */
/** @typedef {{bars: string[], why: string, changed: string, cost: number}} Offer */

export class Vary {
  /** @param {HTMLElement} host @param {Editor} editor @param {string} name @param {() => Promise<void>} kept */
  constructor(host, editor, name, kept) {
    this.host = host;
    this.editor = editor;
    this.name = name;
    this.kept = kept;
    this.opener = button("vary");
    this.lick = "";
    this.opener.addEventListener("click", () => this.ask());
    editor.addEventListener("caret", () => this.here());
  }

  here() {
    const found = whereIs(licksOf(this.editor.text), this.editor.caret).lick;
    const lick = found?.bars.length ? found.name : "";
    if (lick === this.lick) return;
    this.lick = lick;
    this.opener.disabled = !lick;
    this.opener.title = lick ? `Other ways to play ${lick}` : "";
  }

  async ask() {
    const lick = this.lick;
    this.host.hidden = false;
    fill(this.host, h("p", { class: "soft" }, `Looking for other ways to play ${lick} …`));
    try {
      await this.kept();
      const told = await post(of(this.name, "vary"), { lick });
      this.draw(lick, (told.proposals ?? told).map(offerOf));
    } catch (error) {
      this.draw(lick, [], inWords(error));
    }
  }

  /** @param {string} lick @param {Offer[]} offers @param {string} [trouble] */
  draw(lick, offers, trouble = "") {
    const close = h("button", { type: "button", click: () => this.close() }, "Close");
    fill(this.host,
      h("div", { class: "heading" }, h("h3", { tabindex: -1 }, `Other ways to play ${lick}`), close),
      Boolean(trouble) && h("p", { class: "trouble" }, trouble),
      !trouble && !offers.length && h("p", { class: "soft" }, "None that keeps the tune playable was found."),
      offers.length > 0 && h("ol", {}, ...offers.map((offer) => this.row(lick, offer))));
    this.host.querySelector("h3")?.focus();
    show(this.host);
    say(trouble || `${offers.length} ways`);
  }

  /** @param {string} lick @param {Offer} offer */
  row(lick, offer) {
    return h("li", {}, h("span", {}, [offer.changed, offer.why].filter(Boolean).join(" ")),
      h("pre", {}, offer.bars.join("\n")),
      h("div", { class: "row" }, h("button", { type: "button", click: () => this.take(lick, offer) }, "Take this one")));
  }

  /** @param {string} name @param {Offer} offer */
  take(name, offer) {
    const { text } = this.editor;
    const lick = licksOf(text).find((one) => one.name === name);
    if (!lick?.bars.length) return;
    const lines = text.split("\n");
    const first = lick.bars[0].line - 1;
    const last = /** @type {any} */ (lick.bars.at(-1)).line - 1;
    const old = new Set(lick.bars.map((bar) => bar.line - 1));
    const between = lines.slice(first, last + 1).filter((_, at) => !old.has(first + at));
    const after = [...lines.slice(0, first), ...offer.bars, ...between, ...lines.slice(last + 1)];
    const caret = lines.slice(0, first).join("\n").length + (first ? 1 : 0);
    this.editor.write(after.join("\n"), caret);
    this.close();
    say(`${name} is written the new way. Undo brings the old one back.`);
  }

  close() {
    this.host.hidden = true;
    this.editor.area.focus();
  }
}

/** @param {any} told @returns {Offer} */
function offerOf(told) {
  const bars = told.bars ?? told.text ?? told.tab ?? [];
  const lines = Array.isArray(bars) ? bars : String(bars).split("\n");
  return { bars: lines.filter((/** @type {string} */ line) => /^\s*\d+\s*:/.test(line)), why: told.why ?? "", changed: told.changed ?? "", cost: told.cost ?? 0 };
}
