// @ts-check
/**
 * Findings as a list that jumps: what was found, where, and the mend. F8 goes to the next and
 * Shift+F8 to the one before, from wherever the caret stands.
 */

import { counted, fill, h, sentence } from "./dom.js";

/** @typedef {import("./desk.d.ts").Finding} Finding */
/** @typedef {import("./editor.js").Editor} Editor */

const WEIGHT = { error: "Mend", warning: "Look at", advice: "Perhaps" };
const ORDER = { error: 0, warning: 1, advice: 2 };

export class Findings {
  /** @param {HTMLElement} host @param {Editor} editor */
  constructor(host, editor) {
    this.host = host;
    this.editor = editor;
    /** @type {Finding[]} */ this.list = [];
    this.shown = "";
  }

  /** @param {Finding[]} findings */
  set(findings) {
    this.list = [...findings].sort((a, b) => ORDER[a.severity] - ORDER[b.severity] || a.line - b.line || a.column - b.column);
    const key = JSON.stringify(this.list);
    if (key === this.shown) return;
    this.shown = key;
    this.editor.layer.setMarks("finding", spotsOf(this.list, this.editor.layer.rows.map((row) => row.text)));
    this.draw();
  }

  draw() {
    const focused = this.host.contains(document.activeElement);
    const index = [...this.host.querySelectorAll("button")].indexOf(/** @type {any} */ (document.activeElement));
    fill(this.host, h("h2", {}, this.summary), this.list.length > 0 && h("ol", {}, ...this.list.map((one) => this.row(one))));
    if (focused) this.host.querySelectorAll("button")[Math.max(0, Math.min(index, this.list.length - 1))]?.focus();
  }

  get summary() {
    const of = (/** @type {string} */ weight) => this.list.filter((one) => one.severity === weight).length;
    const parts = [
      of("error") && `${of("error")} to mend`,
      of("warning") && `${of("warning")} to look at`,
      of("advice") && counted(of("advice"), "piece of advice", "pieces of advice"),
    ].filter(Boolean);
    return parts.length ? parts.join(", ") : "Nothing to mend";
  }

  /** @param {Finding} one */
  row(one) {
    const where = placeOf(one);
    return h("li", {}, h("button", { type: "button", click: () => this.jump(one) },
      h("span", { class: `weight ${one.severity}` }, WEIGHT[one.severity]), " ",
      where && h("span", { class: "where" }, where, ". "),
      sentence(one.message), one.rule ? ` ${sentence(one.rule)}` : "",
      Boolean(one.mend) && h("span", { class: "mend" }, "Mend: ", sentence(one.mend ?? ""))));
  }

  /** @param {Finding} one */
  jump(one) {
    if (!one.line) this.editor.area.focus();
    else this.editor.goTo(one.line, one.column || 1, Math.max(one.end_column ?? 0, one.column || 1));
  }

  /** The finding at a place of the text. @param {number} line @param {number} column */
  at(line, column) {
    return this.list.find((one) => one.line === line && one.column <= column && column <= Math.max(one.end_column ?? 0, one.column + 1));
  }

  /** @param {number} line @param {number} column @param {1 | -1} way */
  next(line, column, way) {
    const placed = this.list.filter((one) => one.line).sort((a, b) => a.line - b.line || a.column - b.column);
    const after = (/** @type {Finding} */ one) => (one.line - line || one.column - column) * way > 0;
    const found = way > 0 ? placed.find(after) ?? placed[0] : placed.findLast(after) ?? placed.at(-1);
    if (found) this.jump(found);
    return found;
  }
}

/** @param {Finding} one */
export function placeOf(one) {
  if (one.bar === undefined || one.bar === null || !one.chorus) return one.line ? `Line ${one.line}` : "";
  const beat = one.beat ? ` beat ${spoken(one.beat)}` : "";
  return `Chorus ${one.chorus} bar ${one.bar}${beat}${one.lick ? `, ${one.lick}` : ""}`;
}

/** A beat as a player counts it: 2, 2 &, 2 e, 2 a; other parts as a number. @param {number} beat */
export function spoken(beat) {
  const whole = Math.floor(beat);
  const parts = /** @type {Record<string, string>} */ ({ 0: "", 0.25: " e", 0.5: " &", 0.75: " a" });
  return `${whole}${parts[String(beat - whole)] ?? (beat - whole).toFixed(2).slice(1)}`;
}

/** @param {Finding[]} list @param {string[]} lines */
function spotsOf(list, lines) {
  return list.filter((one) => one.line).map((one) => ({
    line: one.line,
    column: one.column || 1,
    end: one.end_column && one.end_column > one.column ? one.end_column : wordEnd(lines[one.line - 1] ?? "", one.column || 1),
    name: `f-${one.severity}`,
  }));
}

/** The column after the word at a column. @param {string} line @param {number} column */
function wordEnd(line, column) {
  const letters = [...line];
  let end = column - 1;
  while (end < letters.length && !/\s/.test(letters[end])) end += 1;
  return Math.max(end + 1, column + 1);
}
