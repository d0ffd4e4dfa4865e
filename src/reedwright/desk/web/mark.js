// @ts-check
/**
 * A student's recording, dropped on the tune it is of, and what was heard in it. The section is not
 * there when this desk cannot listen.
 */

import { Fault, getRaw, inWords, of, upload } from "./api.js";
import { dropPlace } from "./drop.js";
import { spoken } from "./findings.js";
import { counted, fill, h, say, show, the } from "./dom.js";

export class Mark {
  /** @param {HTMLElement} host @param {string} name @param {(id: string) => void} jump */
  constructor(host, name, jump) {
    this.host = host;
    this.name = name;
    this.jump = jump;
    this.result = h("div", { class: "result", tabindex: -1 });
    this.look();
  }

  /** Whether there is such a door. */
  async look() {
    const told = await getRaw("/api/openapi.json").then((response) => response.json()).catch(() => null);
    const there = Boolean(told?.paths && Object.keys(told.paths).some((path) => path.endsWith("/mark")));
    the("mark").hidden = !there;
    the("to-mark").hidden = !there;
    if (!there) return;
    fill(this.host, h("p", { class: "lead" }, "Give a recording of a student who plays this tune. It stays on this computer."),
      dropPlace({ id: "recording", words: "or drop a recording here: WAV, FLAC, MP3, Ogg.", accept: "audio/*", took: (file) => this.send(file) }), this.result);
  }

  /** @param {File} file */
  async send(file) {
    fill(this.result, h("p", { class: "soft", role: "status" }, `Listening to ${file.name} …`));
    const form = new FormData();
    form.append("recording", file);
    try {
      this.draw(await upload(of(this.name, "mark"), form));
    } catch (error) {
      const words = error instanceof Fault && error.status === 404 ? "This desk cannot listen yet." : inWords(error);
      fill(this.result, h("p", { class: "trouble", role: "alert" }, words));
    }
  }

  /** @param {any} told */
  draw(told) {
    const sentences = [told.summary, told.words, ...(told.sentences ?? [])].flat().filter((one) => typeof one === "string" && one);
    const notes = (told.notes ?? told.events ?? []).filter((/** @type {any} */ one) => one.verdict && one.verdict !== "right");
    const rows = notes.map((/** @type {any} */ one) => h("li", {}, h("button", { type: "button", click: () => this.jump(one.id) },
      h("span", { class: "tab" }, [one.tab].flat().join("+")), ` bar ${one.bar} beat ${spoken(one.beat)}: ${one.words ?? one.verdict}`)));
    fill(this.result, h("h3", {}, told.title ?? "What was heard"), ...sentences.map((words) => h("p", {}, words)),
      rows.length > 0 && h("p", {}, `${counted(rows.length, "note")} to go over:`), h("ol", { class: "heard" }, ...rows));
    this.result.focus();
    show(this.result);
    say(sentences[0] ?? "The recording was read.");
  }
}
