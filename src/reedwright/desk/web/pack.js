// @ts-check
/**
 * One button makes everything for the lesson; the bar counts what is really done. Then the folder
 * as a zip, and the student's page as the student will see it.
 */

import { inWords, of, post } from "./api.js";
import { counted, fill, h, say } from "./dom.js";

export class Pack {
  /** @param {HTMLElement} host @param {string} name @param {() => Promise<number>} kept */
  constructor(host, name, kept) {
    this.name = name;
    this.kept = kept;
    this.begin = h("button", { type: "button", class: "main", id: "make-pack", click: () => this.make() }, "Make the pack");
    this.bar = h("progress", { max: 1, value: 0, hidden: true, "aria-label": "Progress of the pack" });
    this.line = h("p", { class: "soft", role: "status", id: "pack-line" });
    this.done = h("div", { class: "done" });
    fill(host, h("p", { class: "lead" }, "Sheets, recordings, the lesson and the student's page, in one folder beside the tune. What has not changed is not made again."),
      h("div", { class: "packing-row" }, this.begin, this.bar), this.line, this.done);
  }

  async make() {
    this.begin.disabled = true;
    this.bar.hidden = false;
    this.bar.removeAttribute("value");
    fill(this.done);
    this.line.className = "soft";
    this.line.textContent = "Beginning …";
    try {
      await this.kept();
      const { job } = await post(of(this.name, "pack"), {});
      await this.watch(job);
    } catch (error) {
      this.ended();
      this.line.className = "trouble";
      this.line.textContent = inWords(error);
    }
  }

  /** @param {string} job @returns {Promise<void>} */
  watch(job) {
    const stream = new EventSource(`/api/jobs/${encodeURIComponent(job)}/events`);
    return new Promise((resolve, reject) => {
      let silent = 0;
      const over = (/** @type {() => void} */ then) => {
        stream.close();
        then();
      };
      const took = (/** @type {MessageEvent} */ event) => {
        silent = 0;
        const told = JSON.parse(event.data);
        if (told.error) over(() => reject(faultOf(told.error)));
        else if (told.finished || event.type === "finished") over(() => { this.finish(told); resolve(); });
        else if (told.done !== undefined) this.step(told);
      };
      for (const type of ["message", "progress", "finished", "failed"]) stream.addEventListener(type, took);
      stream.onerror = () => {
        silent += 1;
        if (silent > 5) over(() => reject(new Error("the desk does not answer any more; ask again once it runs")));
      };
    });
  }

  /** @param {{done: number, total: number, name: string}} told */
  step(told) {
    this.bar.max = Math.max(told.total, 1);
    this.bar.value = told.done;
    this.line.textContent = `${told.done} of ${told.total}${told.name ? `: ${told.name}` : ""}`;
  }

  ended() {
    this.begin.disabled = false;
    this.bar.hidden = true;
  }

  /** @param {any} told */
  finish(told) {
    this.ended();
    const files = /** @type {string[]} */ ((told.files ?? []).map((/** @type {any} */ one) => one.path ?? one));
    const address = encodeURIComponent(this.name);
    const page = files.includes("lesson.html") ? `/pack/${address}/lesson.html` : "";
    const sheet = files.includes("sheet.pdf") ? `/pack/${address}/sheet.pdf` : "";
    this.line.textContent = `Done: ${counted(files.length, "file")}.`;
    fill(this.done, h("p", { class: "packed" },
      h("a", { class: "button main", id: "zip", href: of(this.name, "pack.zip"), download: `${this.name}.zip` }, "Take the zip"), " ",
      Boolean(page) && h("a", { class: "button", id: "open-page", href: page, target: "_blank", rel: "noopener" }, "Open the student's page"), " ",
      Boolean(sheet) && h("a", { class: "button", href: sheet, target: "_blank", rel: "noopener" }, "Open the sheet")),
      h("details", {}, h("summary", {}, "All files"), h("ul", { class: "files" }, ...files.map((path) => h("li", {}, path)))));
    say("The pack is done.");
    document.getElementById("zip")?.focus();
  }
}

/** @param {any} told */
function faultOf(told) {
  return new Error(typeof told === "string" ? told : [told.found, told.rule, told.mend && `Mend: ${told.mend}`].filter(Boolean).join(". "));
}
