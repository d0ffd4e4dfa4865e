// @ts-check
/**
 * After every kept edit the server is asked how the tune looks. What the server leaves out is filled with nothing, so that the views need not ask.
 *
 * Events: `look` {look}, `trouble` {words}.
 */

import { Fault, get, inWords, of, query } from "./api.js";

/** @typedef {import("./desk.d.ts").Look} Look */

export class Looking extends EventTarget {
  /** @param {string} name */
  constructor(name) {
    super();
    this.name = name;
    /** @type {Look | null} */ this.last = null;
    this.busy = false;
    this.wanted = 0;
  }

  /** Asks how a version looks. One question at a time, so that quick typing does not keep the answer
   * away; versions that were overtaken meanwhile are left out. @param {number} version */
  async at(version) {
    this.wanted = version;
    if (this.busy) return;
    this.busy = true;
    try {
      while (this.wanted) await this.once();
    } finally {
      this.busy = false;
    }
  }

  async once() {
    const version = this.wanted;
    this.wanted = 0;
    try {
      const told = await get(of(this.name, "look") + query({ version }));
      this.last = lookOf(told);
      this.dispatchEvent(new CustomEvent("look", { detail: this.last }));
    } catch (error) {
      const overtaken = error instanceof Fault && (error.status === 409 || error.status === 410);
      if (!overtaken) this.dispatchEvent(new CustomEvent("trouble", { detail: inWords(error) }));
    }
  }
}

/** @param {any} told @returns {Look} */
export function lookOf(told) {
  const map = told.map || {};
  return {
    version: told.version,
    ok: Boolean(told.ok),
    title: told.title ?? map.title ?? "",
    about: told.about ?? map.about ?? "",
    findings: told.findings ?? [],
    tokens: told.tokens ?? [],
    form: map.form ?? { name: "", bars: [] },
    choruses: map.choruses ?? [],
    licks: map.licks ?? told.licks ?? [],
    events: told.events ?? [],
    breath: told.breath && told.breath.breath ? told.breath : null,
    tempos: told.tempos ?? [],
    bars: told.bars ?? map.bars ?? 0,
    beats: told.beats ?? map.beats ?? 4,
    harp: told.harp ?? map.harp ?? "",
    position: told.position ?? map.position ?? 0,
  };
}
