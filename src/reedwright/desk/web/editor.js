// @ts-check
/**
 * The editor of a tune: a plain textarea (so that input methods, spelling of the system, selection
 * and screen readers work as everywhere) over a layer that draws its letters. Every change of the
 * text, typed or made by a button, goes through here, into the one list of undo.
 *
 * Events: `change` {text, composing}, `caret` {from, to}.
 */

import { Layer } from "./layer.js";
import { changeOf, lineStart, offsetAt, placeAt } from "./text.js";
import { h } from "./dom.js";

/** @typedef {import("./undo.js").Undo} Undo */
/** @typedef {import("./undo.js").State} State */

const PLACEHOLDER = "Title: My first lick\nHarp: C\nPosition: second\nTempo: 80\n\nLick Hello\n1: 2d 3d' 4d =\n2: 4b&3d 2d . .";

export class Editor extends EventTarget {
  /** @param {HTMLElement} host @param {Undo} undo */
  constructor(host, undo) {
    super();
    this.host = host;
    this.undo = undo;
    this.area = h("textarea", {
      id: "text", spellcheck: false, autocapitalize: "off", autocomplete: "off", wrap: "soft",
      "aria-label": "The tune as text", "aria-describedby": "at-caret", "aria-autocomplete": "list",
      placeholder: PLACEHOLDER,
    });
    const drawn = h("pre", { class: "layer", "aria-hidden": true });
    this.both = h("div", { class: "both" }, drawn, this.area);
    host.append(this.both);
    this.layer = new Layer(drawn);
    /** @type {State} */ this.state = { text: "", from: 0, to: 0 };
    this.listen();
  }

  get text() {
    return this.area.value;
  }

  get caret() {
    return this.area.selectionStart;
  }

  listen() {
    this.area.addEventListener("input", (event) => this.typed(/** @type {InputEvent} */ (event)));
    this.area.addEventListener("compositionend", () => this.settled("insertText"));
    this.area.addEventListener("beforeinput", (event) => this.before(event));
    this.area.addEventListener("keydown", (event) => this.keyed(event));
    document.addEventListener("selectionchange", () => {
      if (document.activeElement === this.area) this.moved();
    });
  }

  /** The browser's own undo would not know of what buttons did. @param {InputEvent} event */
  before(event) {
    if (event.inputType === "historyUndo" || event.inputType === "historyRedo") {
      event.preventDefault();
      if (event.inputType === "historyUndo") this.undo.back();
      else this.undo.forth();
    }
  }

  /** @param {KeyboardEvent} event */
  keyed(event) {
    if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
    const key = event.key.toLowerCase();
    if (key === "z" || key === "y") {
      event.preventDefault();
      event.stopPropagation();
      if (key === "y" || event.shiftKey) this.undo.forth();
      else this.undo.back();
    }
  }

  /** @param {InputEvent} event */
  typed(event) {
    performance.mark("keystroke");
    if (event.isComposing) {
      this.layer.setText(this.text);
      this.dispatchEvent(new CustomEvent("change", { detail: { text: this.text, composing: true } }));
    } else this.settled(event.inputType);
  }

  /** @param {string} way */
  settled(way) {
    if (this.text === this.state.text) return;
    const before = this.state;
    this.layer.setText(this.text);
    this.state = this.now();
    this.undo.typed(before, this.state, (state) => this.put(state), way === "insertText" || way.startsWith("delete"));
    this.told();
  }

  /** @returns {State} */
  now() {
    return { text: this.text, from: this.area.selectionStart, to: this.area.selectionEnd };
  }

  moved() {
    const { from, to } = this.now();
    if (this.text === this.state.text) this.state = { ...this.state, from, to };
    this.dispatchEvent(new CustomEvent("caret", { detail: { from, to } }));
  }

  /** Puts a state in place without a step of undo. @param {State} state */
  put(state) {
    performance.mark("keystroke");
    if (state.text !== this.text) this.area.value = state.text;
    this.area.setSelectionRange(state.from, state.to);
    this.layer.setText(state.text);
    this.state = this.now();
    this.told();
    this.reveal();
  }

  /** A change by a button or a key of ours: one step of undo. @param {string} text @param {number} [from] @param {number} [to] */
  write(text, from = this.caret, to = from) {
    const before = this.state;
    const after = { text, from, to };
    this.undo.typed(before, after, (state) => this.put(state), false);
    this.put(after);
  }

  /** Text that came from elsewhere (disk, another window): the caret stays at its words. @param {string} text */
  adopt(text) {
    const change = changeOf(this.text, text);
    if (!change) return;
    const grown = change.insert.length - (change.to - change.from);
    const shift = (/** @type {number} */ at) => (at > change.from ? Math.max(change.from, at + grown) : at);
    const { from, to } = this.now();
    this.write(text, Math.min(shift(from), text.length), Math.min(shift(to), text.length));
  }

  told() {
    this.dispatchEvent(new CustomEvent("change", { detail: { text: this.text, composing: false } }));
    this.dispatchEvent(new CustomEvent("caret", { detail: this.now() }));
  }

  /** Selects a stretch of a line and shows it. @param {number} line @param {number} column @param {number} [end] */
  goTo(line, column, end = column) {
    const from = offsetAt(this.text, line, column);
    this.area.focus({ preventScroll: true });
    this.area.setSelectionRange(from, offsetAt(this.text, line, end));
    this.moved();
    this.reveal();
  }

  /** Scrolls the box, never the page, to an offset. @param {number} [offset] */
  reveal(offset = this.caret) {
    const box = this.boxAt(offset);
    if (!box) return;
    const room = this.host.clientHeight;
    if (box.top < this.host.scrollTop + 8) this.host.scrollTop = Math.max(0, box.top - room / 4);
    else if (box.bottom > this.host.scrollTop + room - 24) this.host.scrollTop = box.bottom - (room * 3) / 4;
  }

  /** Where an offset stands, from the top left of the box's content. @param {number} offset */
  boxAt(offset) {
    const { line } = placeAt(this.text, offset);
    return this.layer.boxAt(line, offset - lineStart(this.text, line));
  }
}
