// @ts-check
/**
 * What this browser keeps of a tune until the server has it. Each window has its own draft, and writes
 * it again while it waits for the server; one that nobody has written for a while was left behind,
 * and the next window on that tune takes it up. A blocked store is no trouble: the server's journal
 * is the first place anyway.
 */

const LEFT_MS = 10_000; // longer than any wait between two tries of a living window

/** @typedef {{text: string, base: string, version: number}} Kept */

export class Draft {
  /** @param {string} name @param {string} window */
  constructor(name, window) {
    this.begin = `reedwright.draft.${name}/`;
    this.key = this.begin + window;
  }

  /** A draft that was left behind; it is ours from now on. @returns {Kept | null} */
  read() {
    try {
      for (const key of Object.keys(localStorage).filter((one) => one.startsWith(this.begin))) {
        const found = JSON.parse(localStorage.getItem(key) ?? "null");
        if (typeof found?.text !== "string" || typeof found.base !== "string") localStorage.removeItem(key);
        else if (Date.now() - found.at > LEFT_MS) {
          localStorage.removeItem(key);
          this.write(found);
          return found;
        }
      }
    } catch {
      // blocked
    }
    return null;
  }

  /** @param {Kept} kept @param {number} [at] */
  write({ text, base, version }, at = Date.now()) {
    try {
      localStorage.setItem(this.key, JSON.stringify({ text, base, version, at }));
    } catch {
      // blocked or full
    }
  }

  clear() {
    try {
      localStorage.removeItem(this.key);
    } catch {
      // blocked
    }
  }
}
