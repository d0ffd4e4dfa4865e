// @ts-check
/**
 * What stands at the caret, in words: the note, its degree and place in the chord, and the finding
 * there. Also which event is written where, so that cursors find their letters.
 */

import { licksOf, whereIs } from "./bars.js";
import { fill, h, sentence } from "./dom.js";
import { placeAt } from "./text.js";
import { spoken } from "./findings.js";

/** @typedef {import("./desk.d.ts").Look} Look */
/** @typedef {import("./desk.d.ts").EventRow} EventRow */
/** @typedef {import("./editor.js").Editor} Editor */
/** @typedef {import("./findings.js").Findings} Findings */

const PAUSE_MS = 350; // from memory: the note under a token waits until one stops

export class Caret {
  /** @param {HTMLElement} line @param {Editor} editor @param {Findings} findings */
  constructor(line, editor, findings) {
    this.line = line;
    this.editor = editor;
    this.findings = findings;
    /** @type {Look | null} */ this.look = null;
    /** @type {Map<string, EventRow>} */ this.written = new Map();
    /** @type {"" | "tones" | "techniques"} */ this.shown = "";
    this.said = "";
    this.under = h("div", { class: "under-token", hidden: true, "aria-hidden": true });
    editor.both.append(this.under);
    /** @type {number | undefined} */ this.timer = undefined;
    editor.addEventListener("caret", () => this.here());
    editor.addEventListener("change", () => { this.under.hidden = true; });
  }

  /** @param {Look} look */
  set(look) {
    this.look = look;
    if (look.events.length || look.ok) {
      this.written.clear();
      for (const event of look.events) {
        const key = event.id.split("@")[0];
        if (!this.written.has(key)) this.written.set(key, event);
      }
    }
    this.paintTones();
    this.here();
  }

  /** The part of the text an event is written at. @param {string} id */
  placeOf(id) {
    const found = /^(.*):(\d+)\.(\d+)\.(\d+)@/.exec(id);
    if (!found || !this.look) return null;
    const name = this.look.licks.find((one) => one.slug === found[1])?.name ?? found[1];
    const lick = licksOf(this.editor.text).find((one) => one.name === name || slugged(one.name) === found[1]);
    const bar = lick?.bars.find((one) => one.number === Number(found[2]));
    const part = bar?.cells[Number(found[3]) - 1]?.parts[Number(found[4]) - 1];
    return bar && part ? { line: bar.line, from: part.from, to: part.to, begin: bar.from } : null;
  }

  /** The event written at the caret, as it sounds first. @returns {EventRow | undefined} */
  event() {
    const at = whereIs(licksOf(this.editor.text), this.editor.caret);
    if (!at.lick || !at.bar) return undefined;
    const slug = this.look?.licks.find((one) => one.name === at.lick?.name)?.slug ?? slugged(at.lick.name);
    return this.written.get(`${slug}:${at.bar.number}.${at.cellNumber}.${at.partNumber}`);
  }

  here() {
    const { line, column } = placeAt(this.editor.text, this.editor.caret);
    const finding = this.findings.at(line, column);
    const event = this.event();
    const words = event ? inWords(event) : finding ? sentence(finding.message) : "";
    const tab = event ? event.tab.join("+") : "";
    if (`${tab}|${words}` !== this.said) {
      this.said = `${tab}|${words}`;
      fill(this.line, Boolean(tab) && h("span", { class: "tab" }, tab), tab ? ", " : "", words);
    }
    this.under.hidden = true;
    clearTimeout(this.timer);
    if (finding) this.timer = setTimeout(() => this.showUnder(finding, line), PAUSE_MS);
  }

  /** The finding under the very token. @param {import("./desk.d.ts").Finding} finding @param {number} line */
  showUnder(finding, line) {
    const row = this.editor.layer.rows[line - 1];
    const box = row && this.editor.layer.boxAt(line, Math.min((finding.column || 1) - 1, row.text.length));
    if (!box) return;
    fill(this.under, sentence(finding.message), finding.mend ? h("span", { class: "soft" }, ` ${sentence(finding.mend)}`) : "");
    this.under.hidden = false;
    const room = this.editor.both.clientWidth - this.under.offsetWidth - 8;
    this.under.style.left = `${Math.max(4, Math.min(box.left, room))}px`;
    const low = this.editor.host.scrollTop + this.editor.host.clientHeight;
    const fits = box.bottom + 3 + this.under.offsetHeight < low;
    this.under.style.top = `${fits ? box.bottom + 3 : box.top - this.under.offsetHeight - 3}px`;
  }

  /** @param {"" | "tones" | "techniques"} wanted */
  show(wanted) {
    this.shown = wanted;
    this.paintTones();
  }

  /** How every written note lies to its chord where it sounds first, or whether it asks a technique. */
  paintTones() {
    const licks = this.shown ? licksOf(this.editor.text) : [];
    const slugs = new Map(this.look?.licks.map((one) => [one.name, one.slug]));
    const spots = licks.flatMap((lick) => lick.bars.flatMap((bar) => bar.cells.flatMap((cell, c) => cell.parts.flatMap((part, p) => {
      const event = this.written.get(`${slugs.get(lick.name) ?? slugged(lick.name)}:${bar.number}.${c + 1}.${p + 1}`);
      const name = event && (this.shown === "tones" ? toneName(event) : techniqueName(event));
      const column = part.from - bar.from + 1;
      return name ? [{ line: bar.line, column, end: column + part.text.length, name }] : [];
    }))));
    this.editor.layer.setMarks("tone", spots);
  }

  /** Marks what sounds now in the text. @param {string} id */
  sound(id) {
    const place = id ? this.placeOf(id) : null;
    const column = place ? place.from - place.begin + 1 : 0;
    this.editor.layer.setMarks("now", place ? [{ line: place.line, column, end: column + place.to - place.from, name: "now" }] : []);
    if (place && document.activeElement !== this.editor.area) this.editor.reveal(place.from);
  }
}

/** @param {EventRow} event */
function techniqueName(event) {
  const plain = event.tab.every((tab) => !/['o]/.test(tab)) && !event.marks?.length && !event.shake;
  return plain ? "" : "c-technique";
}

/** @param {EventRow} event */
function toneName(event) {
  if (!event.chord) return "";
  const degree = event.chord_degree.find((one) => one);
  if (degree === "1") return "c-root";
  return degree && /^b?[357]$/.test(degree) ? "c-chord" : "c-other";
}

/** @param {EventRow} event */
function inWords(event) {
  const why = event.why?.filter(Boolean).join(" and ");
  const parts = [event.words, why, `chorus ${event.chorus} bar ${event.bar} beat ${spoken(event.beat)}`];
  return parts.filter(Boolean).join("; ");
}

/** @param {string} name */
function slugged(name) {
  return name.normalize("NFKD").replace(/[^\x00-\x7f]/g, "").toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "");
}
