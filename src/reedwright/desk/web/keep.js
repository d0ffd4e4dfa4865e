// @ts-check
/**
 * Nothing typed is ever lost. Every change goes to the server at once, one request at a time; the
 * server answers when it is on disk. Until then the text is also kept by this browser, so that a
 * stopped server, a closed lid or a crash costs nothing: the next visit sends what was not answered.
 *
 * Events: `kept` {version}, `state` {words, late}, `conflict` {mine, theirs, version} (nothing is sent until `settle`),
 * `elsewhere` {text, version}: a text that others wrote, to be shown in place of ours.
 */

import { Fault, get, inWords, of, post, query } from "./api.js";
import { changeOf, rebased } from "./text.js";
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
    this.send();
    setTimeout(() => this.noted());
  }

  /** The draft, a moment after the request went out. */
  noted() {
    if (this.text !== this.kept) this.draft.write({ text: this.text, base: this.kept, version: this.version });
  }

  async send() {
    if (this.busy || this.held || this.text === this.kept) return;
    this.busy = true;
    clearTimeout(this.timer);
    const slow = setTimeout(() => this.say("Keeping …", false), CALM_MS);
    const sent = this.text;
    try {
      await this.once(sent);
      this.failures = 0;
    } catch (error) {
      this.failed(error, sent);
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

  /** @param {unknown} error @param {string} sent */
  failed(error, sent) {
    const body = error instanceof Fault && error.status === 409 ? error.body : null;
    if (body && typeof body.text === "string") {
      this.met(body, sent);
      return;
    }
    const wait = AGAIN_MS[Math.min(this.failures, AGAIN_MS.length - 1)];
    this.failures += 1;
    this.draft.write({ text: this.text, base: this.kept, version: this.version });
    this.say(`Not kept on disk yet; your words are safe in this window. ${inWords(error)}`, true);
    this.timer = setTimeout(() => this.send(), wait);
  }

  /** Somebody else was faster. What was typed since the request went out is kept on top; where that
   * cannot be, the request is made again with all of it. @param {any} told @param {string} sent */
  met(told, sent) {
    const joined = typeof told.merged === "string" ? rebased(sent, this.text, told.merged) : null;
    if (joined !== null) {
      this.became(joined, told.text, told.version);
      this.say("Joined with what was written elsewhere", false);
    } else if (typeof told.merged !== "string") this.clash(told.text, told.version);
  }

  /** @param {string} theirs @param {number} version */
  clash(theirs, version) {
    this.held = true;
    this.dispatchEvent(new CustomEvent("conflict", { detail: { mine: this.text, theirs, version } }));
  }

  /** Another text in place of ours, of which the server has `kept`. @param {string} text @param {string} kept @param {number} version */
  became(text, kept, version) {
    this.kept = kept;
    this.version = version;
    this.text = text;
    if (text !== kept) this.draft.write({ text, base: kept, version });
    this.dispatchEvent(new CustomEvent("elsewhere", { detail: { text, version } }));
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

  /** Another window or a text editor changed the tune. `lost`: a version of what was typed here that
   * the other text took the place of; both are shown then. @param {number} version @param {number} [lost] */
  async changedElsewhere(version, lost = 0) {
    if (version <= this.version || this.held) return;
    const mine = lost ? await get(of(this.name) + query({ version: lost })).catch(() => null) : null;
    if (!this.clean) return; // the next edit meets the other text by itself
    const told = await get(of(this.name));
    if (told.version <= this.version || !this.clean) return;
    if (mine && mine.text === this.text) this.clash(told.text, told.version);
    else this.became(told.text, told.text, told.version);
  }

  /** @param {string} words @param {boolean} late */
  say(words, late) {
    this.dispatchEvent(new CustomEvent("state", { detail: { words, late } }));
  }
}
