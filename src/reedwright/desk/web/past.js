// @ts-check
/**
 * Earlier states of the tune: look at one beside the text as it is, and bring it back. Bringing back
 * is an edit like any other, so it can be undone, and nothing after it is lost.
 */

import { get, inWords, of, query } from "./api.js";
import { hunks } from "./diff.js";
import { fill, h, say } from "./dom.js";

/** @typedef {import("./editor.js").Editor} Editor */

/** @param {string} name @param {Editor} editor */
export async function openPast(name, editor) {
  const list = h("ol", { class: "past-list", "aria-label": "Earlier states" });
  const view = h("div", { class: "past-view" }, h("p", { class: "soft" }, "Choose a state to look at it."));
  const box = h("dialog", { class: "past", "aria-labelledby": "past-name" },
    h("h2", { id: "past-name", tabindex: -1 }, "Earlier"), h("div", { class: "past-both" }, list, view),
    h("div", { class: "closing" }, h("button", { type: "button", click: () => box.close() }, "Close")));
  box.addEventListener("close", () => { box.remove(); editor.area.focus(); });
  document.body.append(box);
  box.showModal();
  try {
    const told = await get(of(name, "history"));
    const rows = /** @type {any[]} */ (told.versions ?? told);
    fill(list, ...rows.map((row) => rowOf(row, () => look(name, editor, row, view, box))));
    if (!rows.length) fill(view, h("p", { class: "soft" }, "Nothing earlier is kept yet."));
    list.querySelector("button")?.focus();
  } catch (error) {
    fill(view, h("p", { class: "trouble" }, inWords(error)));
  }
}

/** @param {any} row @param {() => void} open */
function rowOf(row, open) {
  const at = typeof row.at === "number" ? new Date(row.at * 1000) : new Date(row.at);
  const day = at.toDateString() === new Date().toDateString() ? "" : `${at.toLocaleDateString(undefined, { day: "numeric", month: "short" })} `;
  return h("li", {}, h("button", { type: "button", click: open }, h("strong", {}, day + at.toLocaleTimeString(undefined, { hour: "2-digit", minute: "2-digit", second: "2-digit" })), " ", row.summary ?? ""));
}

/** @param {string} name @param {Editor} editor @param {any} row @param {Element} view @param {HTMLDialogElement} box */
async function look(name, editor, row, view, box) {
  try {
    const told = await get(of(name) + query({ version: row.version }));
    const restore = () => {
      editor.write(told.text, 0);
      box.close();
      say("The earlier state is back. Undo takes it away again.");
    };
    const lines = hunks(editor.text, told.text).flatMap((hunk) => /** @type {(Node | false)[]} */ (hunk.same
      ? [h("span", { class: "same" }, `${hunk.mine.join("\n")}\n`)]
      : [hunk.mine.length > 0 && h("del", {}, `${hunk.mine.join("\n")}\n`), hunk.theirs.length > 0 && h("ins", {}, `${hunk.theirs.join("\n")}\n`)]));
    fill(view, h("p", {}, h("button", { type: "button", class: "main", click: restore }, "Bring this back"), " ", h("span", { class: "quiet" }, "Crossed out: in the text now. Underlined: comes back.")), h("pre", {}, ...lines));
  } catch (error) {
    fill(view, h("p", { class: "trouble" }, inWords(error)));
  }
}
