// @ts-check
/**
 * Bars of a tune's text as far as writing by keys and cursors need them: which letters are which
 * part of which beat, and a bar written again with a note put in. What is right and wrong about a
 * tune only the server says; a line that is not understood here is left alone.
 *
 * Conventions: offsets in UTF-16 units of the whole text; a beat cell has TICKS ticks.
 */

export const TICKS = 120; // divides by every number of parts in use up to 12, but for 7, 9 and 11
const PARTS = [1, 2, 3, 4, 5, 6, 8, 10, 12];

/** @typedef {{from: number, to: number, text: string}} Part */
/** @typedef {{from: number, to: number, lead: string, parts: Part[]}} Cell */
/** @typedef {{lick: string, number: number, line: number, from: number, to: number, cells: Cell[]}} Bar */
/** @typedef {{name: string, line: number, from: number, to: number, bars: Bar[]}} Lick */

const HEAD = /^\s*lick\s+([^(:#>,|{}]+?)\s*(?:\(.*\))?\s*:?\s*$/i;
const CHORUS = /^\s*chorus\b/i;
const BAR = /^(\s*(\d+)\s*:)(?!\s*as\b)(.*)$/i;

/** The licks of a text with the bars that are written out. @param {string} text @returns {Lick[]} */
export function licksOf(text) {
  /** @type {Lick[]} */
  const licks = [];
  let at = 0;
  /** @type {Lick | null} */
  let lick = null;
  text.split("\n").forEach((line, index) => {
    const head = HEAD.exec(line);
    if (head) licks.push((lick = { name: head[1], line: index + 1, from: at, to: at + line.length, bars: [] }));
    else if (CHORUS.test(line)) lick = null;
    else if (lick && line.trim()) {
      const bar = barOf(line, index + 1, at, lick.name);
      if (bar) lick.bars.push(bar);
      lick.to = at + line.length;
    }
    at += line.length + 1;
  });
  return licks;
}

/** @param {string} line @param {number} number @param {number} at @param {string} lick @returns {Bar | null} */
function barOf(line, number, at, lick) {
  const found = BAR.exec(line);
  if (!found) return null;
  const cells = cellsOf(found[3], at + found[1].length);
  return { lick, number: Number(found[2]), line: number, from: at, to: at + line.length, cells };
}

/** @param {string} text @param {number} at @returns {Cell[]} */
function cellsOf(text, at) {
  /** @type {Cell[]} */
  const cells = [];
  let lead = "";
  for (const found of text.matchAll(/\{[^}]*\}|[^\s{]+/g)) {
    const from = at + found.index;
    if (found[0].startsWith("{")) lead += `${found[0]} `;
    else {
      cells.push({ from, to: from + found[0].length, lead, parts: partsOf(found[0], from) });
      lead = "";
    }
  }
  return cells;
}

/** @param {string} text @param {number} at @returns {Part[]} */
function partsOf(text, at) {
  let from = at;
  return text.split("&").map((part) => {
    const made = { from, to: from + part.length, text: part };
    from += part.length + 1;
    return made;
  });
}

/** The lick, bar, cell and part (from 1) an offset stands in or right behind. @param {Lick[]} licks @param {number} offset */
export function whereIs(licks, offset) {
  const lick = licks.findLast((one) => one.from <= offset && offset <= one.to);
  const bar = lick?.bars.find((one) => one.from <= offset && offset <= one.to);
  const cell = bar?.cells.findLast((one) => one.from <= offset) ?? bar?.cells[0];
  const part = cell?.parts.findLast((one) => one.from <= offset) ?? cell?.parts[0];
  return {
    lick, bar, cell, part,
    cellNumber: cell && bar ? bar.cells.indexOf(cell) + 1 : 0,
    partNumber: part && cell ? cell.parts.indexOf(part) + 1 : 0,
  };
}

/** @typedef {{text: string, hold: boolean}} Tick what begins at a tick, or that the one before goes on */

/** A bar as ticks; null for one that no grid of ours holds. @param {Bar} bar @param {number} beats */
export function ticksOf(bar, beats) {
  /** @type {string[]} */
  const ticks = [];
  for (const cell of bar.cells) {
    const each = TICKS / cell.parts.length;
    if (!Number.isInteger(each)) return null;
    for (const part of cell.parts) {
      const after = part.text === "." ? "." : "=";
      ticks.push(part.text, ...Array(each - 1).fill(after));
    }
  }
  while (ticks.length < beats * TICKS) ticks.push(".");
  return ticks;
}

/** Puts a sound, a hold or a rest into ticks. @param {string[]} ticks @param {number} at @param {number} length @param {string} text */
export function put(ticks, at, length, text) {
  const end = Math.min(at + length, ticks.length);
  const filling = text === "." ? "." : "=";
  for (let tick = at; tick < end; tick += 1) ticks[tick] = tick === at ? text : filling;
  for (let tick = end; tick < ticks.length && ticks[tick] === "="; tick += 1) ticks[tick] = ".";
}

/** The line of a bar from its ticks. @param {number} number @param {string[]} ticks @param {string[]} leads */
export function written(number, ticks, leads = []) {
  const cells = [];
  for (let at = 0; at < ticks.length; at += TICKS) {
    cells.push((leads[at / TICKS] ?? "") + cellText(ticks.slice(at, at + TICKS)));
  }
  return `${number}: ${cells.join(" ")}`;
}

/** @param {string[]} ticks */
function cellText(ticks) {
  const changes = ticks.map((tick, at) => (at > 0 && tick === ticks[at - 1] && (tick === "=" || tick === ".")) || (at > 0 && tick === "=") ? -1 : at);
  const begins = changes.filter((at) => at >= 0);
  const count = PARTS.find((parts) => begins.every((at) => at % (TICKS / parts) === 0)) ?? 12;
  const each = TICKS / count;
  return Array.from({ length: count }, (_, part) => ticks[part * each]).join("&");
}

/** Where the ticks of a written bar stand in its line: the offset after the part that holds a tick.
 * @param {string} line @param {number} tick */
export function columnOf(line, tick) {
  const bar = barOf(line, 1, 0, "");
  const cell = bar?.cells[Math.floor(tick / TICKS)];
  if (!cell) return line.length;
  const part = cell.parts[Math.floor((tick % TICKS) / (TICKS / cell.parts.length))];
  return part ? part.to : cell.to;
}

/** One semitone more of bend, where there is a single note. @param {string} text */
export function bent(text) {
  return text.replace(/(\d+[bd]o?'*)(?!.*\d)/, "$1'");
}

/** A hole more in the sound. @param {string} text @param {number} hole @param {string} breath */
export function joined(text, hole, breath) {
  const holes = [...text.matchAll(/\d+/g)].map((found) => Number(found[0]));
  const all = [...new Set([...holes, hole])].sort((a, b) => a - b);
  return all.join("+") + breath;
}
