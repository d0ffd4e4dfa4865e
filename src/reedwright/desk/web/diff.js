// @ts-check
/**
 * Which lines of two texts are the same: the fewest lines changed (the usual longest common
 * sequence), with what is alike at both ends taken away first.
 */

/** @typedef {{same: boolean, mine: string[], theirs: string[]}} Hunk */

const MOST = 4_000_000; // cells of the table; beyond it all that differs is one hunk

/** @param {string} mine @param {string} theirs @returns {Hunk[]} */
export function hunks(mine, theirs) {
  const a = mine.split("\n");
  const b = theirs.split("\n");
  let top = 0;
  while (top < a.length && top < b.length && a[top] === b[top]) top += 1;
  let tail = 0;
  while (tail < a.length - top && tail < b.length - top && a.at(-1 - tail) === b.at(-1 - tail)) tail += 1;
  const inner = between(a.slice(top, a.length - tail), b.slice(top, b.length - tail));
  const ends = (/** @type {string[]} */ lines) => ({ same: true, mine: lines, theirs: lines });
  const all = [ends(a.slice(0, top)), ...inner, ends(tail ? a.slice(-tail) : [])];
  return all.filter((hunk) => hunk.mine.length || hunk.theirs.length);
}

/** @param {string[]} a @param {string[]} b @returns {Hunk[]} */
function between(a, b) {
  if (a.length * b.length > MOST || !a.length || !b.length) return [{ same: false, mine: a, theirs: b }];
  const longest = table(a, b);
  /** @type {Hunk[]} */
  const found = [];
  const add = (/** @type {boolean} */ same, /** @type {string[]} */ mine, /** @type {string[]} */ theirs) => {
    const last = found.at(-1);
    if (last && last.same === same) {
      last.mine.push(...mine);
      last.theirs.push(...theirs);
    } else found.push({ same, mine: [...mine], theirs: [...theirs] });
  };
  let [i, j] = [0, 0];
  while (i < a.length || j < b.length) {
    if (i < a.length && j < b.length && a[i] === b[j]) add(true, [a[i++]], [b[j++]]);
    else if (j >= b.length || (i < a.length && longest[i + 1][j] >= longest[i][j + 1])) add(false, [a[i++]], []);
    else add(false, [], [b[j++]]);
  }
  return found;
}

/** @param {string[]} a @param {string[]} b */
function table(a, b) {
  const rows = Array.from({ length: a.length + 1 }, () => new Uint32Array(b.length + 1));
  for (let i = a.length - 1; i >= 0; i -= 1) {
    for (let j = b.length - 1; j >= 0; j -= 1) {
      rows[i][j] = a[i] === b[j] ? rows[i + 1][j + 1] + 1 : Math.max(rows[i + 1][j], rows[i][j + 1]);
    }
  }
  return rows;
}
