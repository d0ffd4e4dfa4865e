// @ts-check
/**
 * The drawn letters under the editor's clear ones. Each line is drawn by itself, and again only when
 * something of it changed. Between a keystroke and the server's look at it, tokens and findings move
 * along with the letters they belong to.
 */

import { changeOf, moved, units } from "./text.js";

/** @typedef {import("./desk.d.ts").Token} Token */
/** @typedef {{from: number, to: number, name: string}} Piece a stretch of one line with its class */
/** @typedef {{text: string, key: string, element: HTMLElement, pieces: Record<string, Piece[]>}} Row */
/** @typedef {{line: number, column: number, end: number, name: string}} Spot `end`: column after it */

export class Layer {
  /** @param {HTMLElement} host */
  constructor(host) {
    this.host = host;
    /** @type {Row[]} */ this.rows = [];
    this.text = "";
    this.setText("");
  }

  /** New text; what was known of lines that stay is kept. @param {string} text */
  setText(text) {
    const after = text.split("\n");
    const old = this.rows;
    const least = Math.min(old.length, after.length);
    let top = 0;
    while (top < least && old[top].text === after[top]) top += 1;
    let tail = 0;
    while (tail < least - top && old[old.length - 1 - tail].text === after[after.length - 1 - tail]) tail += 1;
    const gone = old.slice(top, old.length - tail);
    const fresh = after.slice(top, after.length - tail).map((line, index) => rowOf(line, gone[index]));
    for (const row of gone) row.element.remove();
    const next = old[old.length - tail]?.element ?? null;
    for (const row of fresh) this.host.insertBefore(row.element, tail ? next : null);
    this.rows = [...old.slice(0, top), ...fresh, ...old.slice(old.length - tail)];
    this.text = text;
    for (const row of fresh) paint(row);
  }

  /** What a kind of mark says, for the whole text. @param {string} kind @param {Spot[]} spots */
  setMarks(kind, spots) {
    /** @type {Map<number, Piece[]>} */
    const found = new Map();
    for (const spot of spots) {
      const row = this.rows[spot.line - 1];
      if (!row) continue;
      const piece = { from: units(row.text, spot.column), to: units(row.text, spot.end), name: spot.name };
      found.set(spot.line - 1, [...(found.get(spot.line - 1) ?? []), piece]);
    }
    this.rows.forEach((row, index) => {
      row.pieces[kind] = found.get(index) ?? [];
      paint(row);
    });
  }

  /** Where an offset is drawn, from the top left of the layer. @param {number} line @param {number} unit */
  boxAt(line, unit) {
    const row = this.rows[line - 1];
    if (!row) return null;
    const range = document.createRange();
    const spot = nodeAt(row.element, unit);
    range.setStart(spot.node, spot.offset);
    const origin = this.host.getBoundingClientRect();
    const box = range.getClientRects()[0] ?? row.element.getBoundingClientRect();
    const height = box.height || 20;
    return { left: box.left - origin.left, top: box.top - origin.top, bottom: box.top - origin.top + height };
  }
}

/** @param {string} text @param {Row | undefined} old @returns {Row} */
function rowOf(text, old) {
  const element = document.createElement("span");
  /** @type {Row["pieces"]} */
  const pieces = {};
  const change = old && changeOf(old.text, text);
  for (const [kind, list] of Object.entries(old && change ? old.pieces : {})) {
    pieces[kind] = list
      .map((piece) => ({ ...piece, from: shifted(piece.from, change), to: shifted(piece.to, change) }))
      .filter((piece) => piece.to > piece.from);
  }
  return { text, key: "\u0000", element, pieces };
}

/** @param {number} at @param {import("./desk.d.ts").Change | null | undefined} change */
function shifted(at, change) {
  return change ? moved(at, change) : at;
}

/** Draws a line anew if it is not as drawn. @param {Row} row */
function paint(row) {
  const pieces = Object.values(row.pieces).flat();
  const key = row.text + pieces.map((each) => `|${each.from},${each.to},${each.name}`).join("");
  if (key === row.key) return;
  row.key = key;
  row.element.replaceChildren(...spans(row.text, pieces), "\n");
}

/** @param {string} text @param {Piece[]} pieces @returns {Node[]} */
function spans(text, pieces) {
  const cuts = new Set([0, text.length]);
  for (const piece of pieces) cuts.add(Math.min(piece.from, text.length)).add(Math.min(piece.to, text.length));
  const edges = [...cuts].sort((a, b) => a - b);
  const nodes = [];
  for (let index = 1; index < edges.length; index += 1) {
    const [from, to] = [edges[index - 1], edges[index]];
    const names = pieces.filter((piece) => piece.from <= from && piece.to >= to).map((piece) => piece.name);
    nodes.push(span(text.slice(from, to), names));
  }
  const beyond = pieces.filter((piece) => piece.from >= text.length && piece.name.startsWith("f-"));
  if (beyond.length) nodes.push(span("\u200b", [beyond[0].name, "empty"]));
  return nodes;
}

/** @param {string} text @param {string[]} names */
function span(text, names) {
  if (!names.length) return document.createTextNode(text);
  const made = document.createElement("span");
  made.className = names.join(" ");
  made.textContent = text;
  return made;
}

/** @param {Node} element @param {number} unit @returns {{node: Node, offset: number}} */
function nodeAt(element, unit) {
  const walker = document.createTreeWalker(element, NodeFilter.SHOW_TEXT);
  let left = unit;
  let node = walker.nextNode();
  while (node) {
    const length = (node.textContent ?? "").length;
    const next = walker.nextNode();
    if (left < length || !next) return { node, offset: Math.min(left, length) };
    left -= length;
    node = next;
  }
  return { node: element, offset: 0 };
}
