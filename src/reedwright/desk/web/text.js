// @ts-check
/**
 * Text and places in it. Offsets count UTF-16 units from 0, as the browser does; lines and columns
 * count from 1 and columns in characters, as the server does.
 */

/** @typedef {import("./desk.d.ts").Change} Change */

/**
 * The one change that makes `after` of `before`; null when they are the same.
 * @param {string} before @param {string} after @returns {Change | null}
 */
export function changeOf(before, after) {
  if (before === after) return null;
  const least = Math.min(before.length, after.length);
  let from = 0;
  while (from < least && before[from] === after[from]) from += 1;
  let tail = 0;
  while (tail < least - from && before.at(-1 - tail) === after.at(-1 - tail)) tail += 1;
  const cut = whole(before, after, from, tail);
  return { from: cut.from, to: before.length - cut.tail, insert: after.slice(cut.from, after.length - cut.tail) };
}

/** Never between the halves of a surrogate pair. @param {string} before @param {string} after
 * @param {number} from @param {number} tail */
function whole(before, after, from, tail) {
  const low = (/** @type {number} */ unit) => unit >= 0xdc00 && unit <= 0xdfff;
  const split = (/** @type {string} */ text, /** @type {number} */ at) => low(text.charCodeAt(at));
  if (from > 0 && (split(before, from) || split(after, from))) from -= 1;
  if (tail > 0 && split(before, before.length - tail)) tail -= 1;
  return { from, tail };
}

/** @param {string} text @param {Change} change @returns {string} */
export function changed(text, change) {
  return text.slice(0, change.from) + change.insert + text.slice(change.to);
}

/**
 * What `mine` did to `base`, done to `theirs` instead; null where both changed the same letters.
 * @param {string} base @param {string} mine @param {string} theirs @returns {string | null}
 */
export function rebased(base, mine, theirs) {
  const own = changeOf(base, mine);
  const other = changeOf(base, theirs);
  if (!own || !other) return own ? mine : theirs;
  if (own.to < other.from) return changed(theirs, own);
  if (own.from <= other.to) return null;
  const grown = other.insert.length - (other.to - other.from);
  return changed(theirs, { from: own.from + grown, to: own.to + grown, insert: own.insert });
}

/** Where an offset goes when a change happens before it or round it.
 * @param {number} at @param {Change} change */
export function moved(at, change) {
  if (at <= change.from) return at;
  if (at >= change.to) return at + change.insert.length - (change.to - change.from);
  return Math.min(at, change.from + change.insert.length);
}

/** @param {string} text @param {number} offset @returns {{line: number, column: number}} */
export function placeAt(text, offset) {
  const before = text.slice(0, offset);
  const begin = before.lastIndexOf("\n") + 1;
  let line = 1;
  for (let at = before.indexOf("\n"); at >= 0; at = before.indexOf("\n", at + 1)) line += 1;
  return { line, column: [...before.slice(begin)].length + 1 };
}

/** @param {string} text @param {number} line @param {number} column @returns {number} */
export function offsetAt(text, line, column) {
  const begin = lineStart(text, line);
  const end = text.indexOf("\n", begin);
  return begin + units(text.slice(begin, end < 0 ? undefined : end), column);
}

/** Where a line begins. @param {string} text @param {number} line */
export function lineStart(text, line) {
  let at = 0;
  for (let count = 1; count < line; count += 1) {
    const next = text.indexOf("\n", at);
    if (next < 0) return text.length;
    at = next + 1;
  }
  return at;
}

/** UTF-16 units before a column of a line. @param {string} line @param {number} column */
export function units(line, column) {
  if (!/[\ud800-\udfff]/.test(line)) return Math.min(Math.max(column - 1, 0), line.length);
  return [...line].slice(0, Math.max(column - 1, 0)).join("").length;
}

/** The line that holds an offset. @param {string} text @param {number} offset */
export function lineAround(text, offset) {
  const from = text.lastIndexOf("\n", offset - 1) + 1;
  const end = text.indexOf("\n", offset);
  const to = end < 0 ? text.length : end;
  return { from, to, text: text.slice(from, to) };
}
