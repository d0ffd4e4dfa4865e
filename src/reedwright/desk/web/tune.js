// @ts-check
/**
 * The page of one tune: puts the parts together and says who listens to whom. An edit is kept, then
 * looked at, then engraved; every view shows what the last look said.
 */

import { Breath } from "./breath.js";
import { Caret } from "./caret.js";
import { Chart } from "./chart.js";
import { chooseBetween } from "./conflict.js";
import { Complete } from "./complete.js";
import { button, h, say, show, the } from "./dom.js";
import { Editor } from "./editor.js";
import { Entry } from "./entry.js";
import { Findings } from "./findings.js";
import { Hear } from "./hear.js";
import { inWords } from "./api.js";
import { Keeper } from "./keep.js";
import { listen, showKeys } from "./keys.js";
import { licksOf, whereIs } from "./bars.js";
import { Looking } from "./looking.js";
import { FormMap } from "./map.js";
import { Mark } from "./mark.js";
import { openPast } from "./past.js";
import { Pack } from "./pack.js";
import { placeAt } from "./text.js";
import { Staff } from "./staff.js";
import { startTour } from "./tour.js";
import { Teach } from "./teach.js";
import { tuneKeys } from "./tunekeys.js";
import { Undo } from "./undo.js";
import { Vary } from "./vary.js";

/** @typedef {import("./desk.d.ts").Look} Look */

export class Page {
  /** @param {string} name */
  constructor(name) {
    this.name = name;
    this.drawing = false;
    this.undo = new Undo();
    this.editor = new Editor(the("editor"), this.undo);
    this.keeper = new Keeper(name, () => this.editor.caret);
    this.looking = new Looking(name);
    this.findings = new Findings(the("findings"), this.editor);
    this.caret = new Caret(the("at-caret"), this.editor, this.findings);
    this.complete = new Complete(this.editor, name);
    this.entry = new Entry(the("entry-strip"), this.editor);
    this.map = new FormMap(the("map"));
    this.staff = new Staff(the("staff"), name);
    this.breath = new Breath(the("breath"));
    this.chart = new Chart(the("chart"));
    this.hear = new Hear(the("hear"), name, { kept: () => this.kept(), here: () => this.map.here, lick: () => this.lickSpan() });
    this.vary = new Vary(the("vary-box"), this.editor, name, async () => { await this.kept(); });
    this.teach = new Teach(the("lesson"), name, this.undo);
    this.pack = new Pack(the("packing"), name, () => this.kept());
    this.mark = new Mark(the("marking"), name, (id) => this.goToEvent(id));
  }

  async open() {
    this.connect();
    const text = await this.keeper.open();
    this.editor.put({ text, from: 0, to: 0 });
    this.undo.done.length = 0;
    this.undo.tell();
    await this.looking.at(this.keeper.version);
    this.follow();
    addEventListener("hashchange", () => location.hash === "#tour" && startTour());
    if (location.hash === "#tour") startTour();
    else if (!location.hash) this.editor.area.focus({ preventScroll: true });
  }

  connect() {
    const { editor, keeper, looking } = this;
    on(editor, "change", ({ text, composing }) => !composing && keeper.set(text));
    on(editor, "caret", () => this.moved());
    on(keeper, "kept", ({ version }) => looking.at(version));
    on(keeper, "state", ({ words, late }) => this.state(words, late));
    on(keeper, "elsewhere", ({ text, version }) => this.elsewhere(text, version));
    on(keeper, "conflict", (met) => this.conflict(met));
    on(looking, "look", (look) => this.looked(look));
    on(looking, "trouble", (words) => this.state(words, true));
    on(this.map, "bar", (index) => this.goToBar(index));
    on(this.breath, "bar", (index) => this.goToBar(index));
    on(this.staff, "event", (id) => this.goToEvent(id));
    on(this.hear, "at", ({ id, bar }) => this.sounding(id, bar));
    on(this.hear, "clock", (now_s) => this.clock(now_s));
    this.buttons();
  }

  buttons() {
    const { undo } = this;
    button("undo").addEventListener("click", () => undo.back());
    button("redo").addEventListener("click", () => undo.forth());
    undo.addEventListener("change", () => {
      button("undo").disabled = !undo.done.length;
      button("redo").disabled = !undo.undone.length;
    });
    undo.tell();
    button("earlier").addEventListener("click", () => openPast(this.name, this.editor));
    button("entry").addEventListener("click", () => this.toggleEntry());
    for (const shown of /** @type {const} */ (["tones", "techniques"])) {
      button(shown).addEventListener("click", () => this.toggleShown(shown));
    }
    const keys = tuneKeys(this);
    button("keys").addEventListener("click", () => showKeys(keys));
    listen(keys);
  }

  /** Chord tones or techniques in the text, one of them at a time. @param {"tones" | "techniques"} wanted */
  toggleShown(wanted) {
    const pressed = button(wanted).getAttribute("aria-pressed") !== "true";
    for (const each of ["tones", "techniques"]) button(each).setAttribute("aria-pressed", String(pressed && each === wanted));
    this.caret.show(pressed ? wanted : "");
  }

  toggleEntry() {
    const open = the("entry-strip").hidden;
    button("entry").setAttribute("aria-pressed", String(open));
    if (open) this.entry.open();
    else this.entry.close();
  }

  /** Findings and the letters' looks first; the larger views in the next frame. @param {Look} look */
  looked(look) {
    this.findings.set(look.findings);
    performance.mark("findings");
    this.editor.layer.setMarks("token", look.tokens.map((token) => ({ line: token.line, column: token.column, end: token.column + token.length, name: `t-${token.kind}` })));
    this.staff.at(look.version, look.ok, look.title);
    if (!this.drawing) {
      this.drawing = true;
      requestAnimationFrame(() => setTimeout(() => {
        this.drawing = false;
        this.draw(this.looking.last ?? look);
      }));
    }
  }

  /** @param {Look} look */
  draw(look) {
    if (look.title) {
      the("title").textContent = look.title;
      document.title = `${look.title} · Reedwright`;
    }
    if (look.about) the("about").textContent = look.about;
    this.entry.harp = look.harp || this.entry.harp;
    this.entry.beats = look.beats;
    this.map.set(look);
    this.breath.set(look.breath);
    this.chart.set(look.harp, look.position, look.harp);
    this.hear.set(look.tempos, look.bars);
    this.caret.set(look);
    this.teach.at(look.version, look.ok);
    performance.mark("drawn");
  }

  moved() {
    const event = this.caret.event();
    if (event) {
      const bar = this.looking.last?.choruses.find((one) => one.chorus === event.chorus)?.bars.find((one) => one.bar === event.bar);
      if (bar) this.map.mark(bar.index);
      this.staff.show(event.id, "is-caret");
    }
  }

  /** The words of a bar: its lick, or the line of the chorus that places it. @param {number} index */
  goToBar(index) {
    this.map.mark(index);
    const look = this.looking.last;
    const found = look?.choruses.flatMap((one) => one.bars.map((bar) => ({ chorus: one.chorus, bar }))).find(({ bar }) => bar.index === index);
    const event = found && look?.events.find((one) => one.chorus === found.chorus && one.bar === found.bar.bar);
    if (event) this.goToEvent(event.id);
    else say("This bar is silent.");
    this.map.mark(index);
  }

  /** @param {string} id */
  goToEvent(id) {
    const place = this.caret.placeOf(id);
    if (place) this.editor.goTo(place.line, place.from - place.begin + 1, place.to - place.begin + 1);
    show(this.editor.host);
  }

  /** @param {"teach" | "pack"} id */
  goTo(id) {
    show(the(id));
    the(id).focus();
  }

  lickSpan() {
    const name = whereIs(licksOf(this.editor.text), this.editor.caret).lick?.name;
    const look = this.looking.last;
    const slug = look?.licks.find((one) => one.name === name)?.slug;
    const bars = look?.choruses.flatMap((one) => one.bars) ?? [];
    const first = bars.findIndex((bar) => slug && bar.index >= 0 && bar.licks.includes(slug));
    if (first < 0 || !slug) return null;
    let last = first;
    while (bars[last + 1]?.licks.includes(slug)) last += 1;
    return { from: bars[first].index, bars: last - first + 1, words: name ?? "" };
  }

  /** @param {1 | -1} way */
  finding(way) {
    const { line, column } = placeAt(this.editor.text, this.editor.caret);
    const found = this.findings.next(line, column, way);
    say(found ? `${found.message} ${found.mend ?? ""}` : "No findings.");
  }

  /** @param {string} id @param {number | null} bar */
  sounding(id, bar) {
    this.caret.sound(id);
    this.map.sound(bar);
    this.staff.show(id, "is-now", true);
  }

  /** The drawing of the breath has its own tempo. @param {number | null} now_s */
  clock(now_s) {
    const drawn = this.looking.last?.breath;
    const tempo = Number(this.hear.tempo?.value) || drawn?.tempo_bpm || 1;
    this.breath.at(now_s === null || !drawn ? null : (now_s * tempo) / drawn.tempo_bpm);
  }

  /** Waits until everything typed is on disk. @returns {Promise<number>} */
  async kept() {
    while (!this.keeper.clean) {
      if (this.keeper.failures > 2) throw new Error("what was typed is not on disk yet; see the words at the top");
      await new Promise((resolve) => setTimeout(resolve, 20));
    }
    return this.keeper.version;
  }

  /** @param {string} words @param {boolean} late */
  state(words, late) {
    const line = the("kept");
    if (line.textContent !== words) line.textContent = words;
    line.classList.toggle("late", late);
  }

  /** @param {string} text @param {number} version */
  elsewhere(text, version) {
    this.editor.adopt(text);
    if (this.keeper.clean) this.looking.at(version);
    say("The tune was changed elsewhere; the text here is the newest.");
  }

  /** @param {{mine: string, theirs: string, version: number}} met */
  async conflict(met) {
    this.state("Written in two places; choose what stays", true);
    const text = await chooseBetween(met);
    this.keeper.settle(text, met.theirs, met.version);
    this.editor.adopt(text);
    this.editor.area.focus();
    if (text === met.theirs) this.looking.at(met.version);
    this.state("Kept", false);
  }

  /** Other windows and other programs. */
  follow() {
    const stream = new EventSource("/api/events");
    const took = (/** @type {MessageEvent} */ event) => {
      const told = JSON.parse(event.data);
      const changed = told.changed ?? told;
      if (changed.name === this.name && changed.window !== this.keeper.window) {
        this.keeper.changedElsewhere(changed.version, changed.conflict).catch((error) => this.state(inWords(error), true));
      }
    };
    stream.addEventListener("message", took);
    stream.addEventListener("changed", took);
    addEventListener("pagehide", () => stream.close());
  }
}

/** @param {EventTarget} target @param {string} type @param {(detail: any) => void} act */
function on(target, type, act) {
  target.addEventListener(type, (event) => act(/** @type {CustomEvent} */ (event).detail));
}

const name = decodeURIComponent(location.pathname.replace(/^\/tune\//, ""));
new Page(name).open().catch((error) => {
  the("kept").textContent = inWords(error);
  the("kept").classList.add("late");
  the("editor").append(h("p", { class: "trouble" }, "The tune could not be opened."));
});
