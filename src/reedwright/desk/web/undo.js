// @ts-check
/**
 * Undo across everything: typing, keys, variations, mends, sentences and what was restored go into
 * one list, and come back from it in order. Letters typed in one go are one step; a pause, a space
 * after a word or a move of the caret begins the next.
 */

/** @typedef {{undo: () => void, redo: () => void, words: string}} Step */
/** @typedef {{text: string, from: number, to: number}} State */

const PAUSE_MS = 900; // from memory: about what a writer feels as one go
const MOST = 2000; // steps kept; from memory

export class Undo extends EventTarget {
  constructor() {
    super();
    /** @type {Step[]} */ this.done = [];
    /** @type {Step[]} */ this.undone = [];
    this.last_ms = 0;
    this.at = -1;
  }

  /** A step that was just taken. @param {Step} step */
  add(step) {
    this.done.push(step);
    if (this.done.length > MOST) this.done.shift();
    this.undone.length = 0;
    this.at = -1;
    this.tell();
  }

  /**
   * A change of the text. Goes on with the step before where it is the same go of typing.
   * @param {State} before @param {State} after @param {(state: State) => void} put @param {boolean} typed
   */
  typed(before, after, put, typed) {
    const now = performance.now();
    const goesOn = typed && this.at === before.from && now - this.last_ms < PAUSE_MS && this.done.length > 0;
    const first = goesOn ? /** @type {any} */ (this.done.pop()).before : before;
    const step = { before: first, words: "text", undo: () => put(first), redo: () => put(after) };
    this.add(step);
    this.at = typed && !/\s$/.test(after.text.slice(before.from, after.from)) ? after.from : -1;
    this.last_ms = now;
  }

  back() {
    const step = this.done.pop();
    if (!step) return;
    this.undone.push(step);
    this.at = -1;
    step.undo();
    this.tell();
  }

  forth() {
    const step = this.undone.pop();
    if (!step) return;
    this.done.push(step);
    this.at = -1;
    step.redo();
    this.tell();
  }

  tell() {
    this.dispatchEvent(new Event("change"));
  }
}
