// @ts-check
/**
 * Nothing typed is ever lost. Every change goes to the server at once, one request at a time; the
 * server answers when it is on disk. Until then the text is also kept by this browser, so that a
 * stopped server, a closed lid or a crash costs nothing: the next visit sends what was not answered.
 *
 * Events: `kept` {version}, `state` {words, late}, `conflict` {mine, theirs, version},
 * `elsewhere` {text, version}: a text that others wrote, to be shown in place of ours.
 */

import { Fault, get, inWords, of, post } from "./api.js";
import { changeOf } from "./text.js";
import { Draft } from "./draft.js";

const CALM_MS = 400; // from memory: sooner than this no one waits
const AGAIN_MS = [500, 1000, 2000, 4000]; // from memory

export class Keeper extends EventTarget {
  /** @param {string} name @param {() => number} caret */
  constructor(name, caret) {
    super();
    this.name = name;
    this.caret = caret;
    this.window = Math.random().toString(36).slice(2, 12);
    this.version = 0;
    this.kept = "";
    this.text = "";
    this.busy = false;
    this.held = false;
    this.failures = 0;
    /** @type {number | undefined} */ this.timer = undefined;
    this.draft = new Draft(name, this.window);
    addEventListener("pagehide", () => {
      if (this.text !== this.kept) this.draft.write({ text: this.text, base: this.kept, version: this.version }, 0);
    });
  }

  get clean() {
    return !this.busy && this.text === this.kept;
  }

  /** Reads the tune; what an earlier visit could not keep comes back. @returns {Promise<string>} */
  async open() {
    const told = await get(of(this.name));
    this.version = told.version;
    this.kept = told.text;
    this.text = told.text;
    const left = this.draft.read();
    if (left && left.text !== told.text) {
      this.version = left.version;
      this.kept = left.base;
      this.set(left.text);
      return left.text;
    }
    this.draft.clear();
    this.say("Kept", false);
    return told.text;
  }

  /** The text as it is now. @param {string} text */
  set(text) {
    this.text = text;
    if (text !== this.kept) this.draft.write({ text, base: this.kept, version: this.version });
    this.send();
  }

  async send() {
    if (this.busy || this.held || this.text === this.kept) return;
    this.busy = true;
    clearTimeout(this.timer);
    const slow = setTimeout(() => this.say("Keeping …", false), CALM_MS);
    try {
      await this.once(this.text);
      this.failures = 0;
    } catch (error) {
      this.failed(error);
    } finally {
      clearTimeout(slow);
      this.busy = false;
    }
    if (!this.failures) this.send();
  }

  /** @param {string} text */
  async once(text) {
    const change = changeOf(this.kept, text);
    const what = change ? { changes: [change] } : { text };
    const told = await post(of(this.name, "edit"), {
      version: this.version, window: this.window, caret: this.caret(), ...what,
    });
    this.took(text, told.version);
  }

  /** @param {string} text @param {number} version */
  took(text, version) {
    this.kept = text;
    this.version = version;
    if (this.text === text) this.draft.clear();
    else this.draft.write({ text: this.text, base: text, version });
    this.say("Kept", false);
    this.dispatchEvent(new CustomEvent("kept", { detail: { version } }));
  }

  /** @param {unknown} error */
  failed(error) {
    const body = error instanceof Fault && error.status === 409 ? error.body : null;
    if (body && typeof body.text === "string") {
      this.met(body);
      return;
    }
    const wait = AGAIN_MS[Math.min(this.failures, AGAIN_MS.length - 1)];
    this.failures += 1;
    this.draft.write({ text: this.text, base: this.kept, version: this.version });
    this.say(`Not kept on disk yet; your words are safe in this window. ${inWords(error)}`, true);
    this.timer = setTimeout(() => this.send(), wait);
  }

  /** Somebody else was faster. @param {{text: string, version: number, merged?: string, conflict?: unknown}} told */
  met(told) {
    if (typeof told.merged === "string" && !told.conflict) {
      const typedOn = changeOf(told.text, told.merged);
      this.kept = told.text;
      this.version = told.version;
      this.text = told.merged;
      this.dispatchEvent(new CustomEvent("elsewhere", { detail: { text: told.merged, version: told.version } }));
      if (typedOn) this.draft.write({ text: told.merged, base: told.text, version: told.version });
      this.say("Joined with what was written elsewhere", false);
      return;
    }
    this.held = true;
    const detail = { mine: this.text, theirs: told.text, base: this.kept, version: told.version };
    this.dispatchEvent(new CustomEvent("conflict", { detail }));
  }

  /** The writer has chosen. @param {string} text @param {string} theirs @param {number} version */
  settle(text, theirs, version) {
    this.kept = theirs;
    this.version = version;
    this.held = false;
    this.text = text;
    if (text === theirs) this.draft.clear();
    this.send();
  }

  /** Another window or a text editor changed the tune. @param {number} version */
  async changedElsewhere(version) {
    if (version <= this.version || !this.clean || this.held) return;
    const told = await get(of(this.name));
    if (told.version <= this.version || !this.clean) return;
    this.version = told.version;
    this.kept = told.text;
    this.text = told.text;
    this.dispatchEvent(new CustomEvent("elsewhere", { detail: { text: told.text, version: told.version } }));
  }

  /** @param {string} words @param {boolean} late */
  say(words, late) {
    this.dispatchEvent(new CustomEvent("state", { detail: { words, late } }));
  }
}
