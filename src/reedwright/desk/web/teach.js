// @ts-check
/**
 * The lesson as the teacher sees it: the plan, then every lick with its pieces and the words that
 * are said about each. A sentence is changed in its place; an emptied one goes back to what the
 * desk writes by itself. Edits are one step of undo each.
 */

import { Fault, get, inWords, of, post } from "./api.js";
import { counted, fill, h, say } from "./dom.js";

/** @typedef {import("./undo.js").Undo} Undo */
/** @typedef {{text: string, edited: boolean, stale: boolean, own: string}} Sentence */

export class Teach {
  /** @param {HTMLElement} host @param {string} name @param {Undo} undo */
  constructor(host, name, undo) {
    this.host = host;
    this.name = name;
    this.undo = undo;
    this.version = -1;
    this.wanted = false;
    /** @type {AbortController | null} */ this.asked = null;
    this.editable = true;
    const seen = new IntersectionObserver((entries) => {
      this.wanted = entries.some((entry) => entry.isIntersecting);
      if (this.wanted) this.load();
    }, { rootMargin: "200px" });
    seen.observe(host);
    this.latest = { version: 0, ok: false };
    fill(host, h("p", { class: "soft" }, "The lesson is laid out when the tune can be played."));
  }

  /** @param {number} version @param {boolean} ok */
  at(version, ok) {
    this.latest = { version, ok };
    if (this.wanted) this.load();
  }

  async load() {
    const { version, ok } = this.latest;
    if (!ok || version === this.version || this.host.contains(document.activeElement)) return;
    this.asked?.abort();
    const asked = (this.asked = new AbortController());
    try {
      const lesson = await get(of(this.name, "lesson"), asked.signal);
      this.version = version;
      this.draw(lesson);
    } catch (error) {
      if (!asked.signal.aborted) fill(this.host, h("p", { class: "trouble" }, inWords(error)));
    }
  }

  /** @param {any} lesson */
  draw(lesson) {
    const events = new Map((lesson.events ?? []).map((/** @type {any} */ event) => [event.id, event]));
    const licks = (lesson.licks ?? []).map((/** @type {any} */ lick) => this.lick(lick, events));
    fill(this.host, this.opening(lesson), this.homeless(lesson), this.plan(lesson), h("div", { class: "licks" }, ...licks), this.captions(lesson));
  }

  /** @param {any} lesson */
  opening(lesson) {
    const licks = (lesson.licks ?? []).length;
    const pieces = (lesson.licks ?? []).reduce((/** @type {number} */ sum, /** @type {any} */ lick) => sum + lick.pieces.length, 0);
    const hard = lesson.difficulty ? ` Difficulty ${lesson.difficulty.number}.` : "";
    return h("p", { class: "lead" }, `${counted(licks, "lick")} in ${counted(pieces, "piece")}, each short enough to hold in mind.${hard}`);
  }

  /** Sentences of the teacher whose piece is not there any more: shown, never thrown away. @param {any} lesson */
  homeless(lesson) {
    const lost = /** @type {string[]} */ (lesson.homeless ?? []);
    if (!lost.length) return null;
    return h("details", {}, h("summary", {}, `${counted(lost.length, "sentence")} of yours whose notes are gone`), h("ul", {}, ...lost.map((text) => h("li", {}, text))));
  }

  /** @param {any} lesson */
  plan(lesson) {
    const steps = lesson.plan?.steps ?? [];
    if (!steps.length) return null;
    const total = steps.reduce((/** @type {number} */ sum, /** @type {any} */ step) => sum + (step.length_s ?? 0), 0);
    const rows = steps.map((/** @type {any} */ step) => h("li", {}, h("strong", {}, step.title ?? step.kind), step.length_s ? `, ${clock(step.length_s)}` : "",
      ...(step.words ? [h("span", { class: "soft" }, ` ${Array.isArray(step.words) ? step.words.join(" ") : step.words}`)] : [])));
    return h("details", { class: "plan", open: true }, h("summary", {}, `The plan${total ? `, ${clock(total)}` : ""}`), h("ol", {}, ...rows));
  }

  /** @param {any} lick @param {Map<string, any>} events */
  lick(lick, events) {
    const hard = lick.difficulty ? `difficulty ${lick.difficulty.number}` : "";
    const manner = [lick.cup && `cup ${lick.cup}`, lick.loudness, hard].filter(Boolean).join(", ");
    return h("article", { class: "lesson-lick", "aria-label": lick.name },
      h("header", {}, h("h3", {}, lick.name), h("p", { class: "soft" }, manner), ...(lick.remarks ?? []).map((/** @type {string} */ text) => h("p", { class: "remark" }, text))),
      h("ol", { class: "pieces" }, ...lick.pieces.map((/** @type {any} */ piece) => this.piece(piece, events))));
  }

  /** @param {any} piece @param {Map<string, any>} events */
  piece(piece, events) {
    const tab = piece.event_ids.map((/** @type {string} */ id) => events.get(id)).filter(Boolean).map((/** @type {any} */ event) => event.tab.join("+"));
    const alike = (piece.relations ?? []).map((/** @type {any} */ one) => one.words).filter(Boolean).join(" ");
    const sentences = (piece.words ?? []).map(sentenceOf);
    return h("li", { class: "piece" },
      h("p", { class: "tab" }, tab.join("  ")),
      Boolean(alike) && h("p", { class: "soft" }, alike),
      ...sentences.map((/** @type {Sentence} */ one, /** @type {number} */ index) => this.sentence(piece.id, index, one)));
  }

  /** @param {string} piece @param {number} index @param {Sentence} one */
  sentence(piece, index, one) {
    const area = h("textarea", { rows: 1, class: "sentence", "aria-label": `Sentence ${index + 1}`, readonly: !this.editable });
    area.value = one.text;
    let kept = one.text;
    const flag = h("span", { class: "flag", hidden: !one.stale }, "The tune has changed here since you wrote this; does it still hold?");
    const yours = h("span", { class: "quiet", hidden: !one.edited }, "your words");
    const back = h("button", { type: "button", hidden: !one.edited, click: () => change(one.own, null) }, "Back to the desk's words");
    /** @param {string} shown @param {string | null} text */
    const set = async (shown, text) => {
      area.value = shown;
      kept = shown;
      yours.hidden = back.hidden = text === null;
      await this.keep(piece, index, text);
    };
    /** @param {string} shown @param {string | null} text */
    const change = (shown, text) => {
      const [old, was] = [kept, yours.hidden ? null : kept];
      if (shown === old) return;
      this.undo.add({ words: "sentence", undo: () => set(old, was), redo: () => set(shown, text) });
      set(shown, text);
    };
    area.addEventListener("change", () => {
      const text = area.value.trim().replace(/\s*\n\s*/g, " ");
      change(text || one.own, text || null);
    });
    return h("div", { class: "said" }, h("div", { class: "grow" }, area), h("p", { class: "under" }, yours, back, flag));
  }

  /** @param {string} piece @param {number} index @param {string | null} text */
  async keep(piece, index, text) {
    try {
      await post(of(this.name, "sentences"), { piece, index, text });
      say("Sentence kept.");
    } catch (error) {
      const absent = error instanceof Fault && (error.status === 404 || error.status === 405);
      say(absent ? "This desk cannot keep sentences yet." : inWords(error));
      this.told(absent ? "Sentences cannot be kept by this desk yet; copy your words before you leave." : inWords(error));
    }
  }

  /** @param {string} words */
  told(words) {
    let line = this.host.querySelector(".keeping");
    if (!line) this.host.prepend((line = h("p", { class: "trouble keeping", role: "alert" })));
    line.textContent = words;
  }

  /** @param {any} lesson */
  captions(lesson) {
    const made = lesson.captions ?? [];
    if (!made.length) return null;
    const rows = made.map((/** @type {any} */ one) => h("li", {}, h("strong", {}, one.path ?? one.title ?? ""), " ", (one.cues ?? []).map((/** @type {any} */ cue) => cue.text).join(" / ")));
    return h("details", {}, h("summary", {}, "Captions"), h("ul", { class: "captions" }, ...rows));
  }
}

/** @param {any} told @returns {Sentence} */
function sentenceOf(told) {
  if (typeof told === "string") return { text: told, edited: false, stale: false, own: told };
  return { text: told.text, edited: Boolean(told.edited), stale: Boolean(told.stale ?? told.flagged), own: told.own ?? told.text };
}

/** @param {number} length_s */
function clock(length_s) {
  const minutes = Math.floor(length_s / 60);
  return minutes ? `${minutes} min ${String(Math.round(length_s % 60)).padStart(2, "0")} s` : `${Math.round(length_s)} s`;
}
