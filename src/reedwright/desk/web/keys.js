// @ts-check
/**
 * The keys of the tune page, in one place: what is listed is what is done.
 */

import { h } from "./dom.js";

/** @typedef {{key: string, words: string, test: (event: KeyboardEvent) => boolean, act: () => void}} Key */

/** Listens for keys anywhere on the page. @param {Key[]} keys */
export function listen(keys) {
  document.addEventListener("keydown", (event) => {
    if (event.defaultPrevented || event.isComposing || document.querySelector("dialog[open]")) return;
    const found = keys.find((key) => key.test(event));
    if (!found) return;
    event.preventDefault();
    found.act();
  });
}

/** Shows the list. @param {Key[]} keys */
export function showKeys(keys) {
  const rows = keys.flatMap((key) => [h("dt", {}, h("kbd", {}, key.key)), h("dd", {}, key.words)]);
  const more = [
    ["Ctrl Space", "what can stand here: forms, harps, licks"], ["Tab", "to the next thing on the page; in the text it does the same"],
    ["Arrows", "on the map of the form: from bar to bar"],
  ].flatMap(([key, words]) => [h("dt", {}, h("kbd", {}, key)), h("dd", {}, words)]);
  const box = h("dialog", { "aria-labelledby": "keys-name" }, h("h2", { id: "keys-name", tabindex: -1 }, "Keys"), h("dl", { class: "keylist" }, ...rows, ...more),
    h("div", { class: "closing" }, h("button", { type: "button", class: "main", click: () => box.close() }, "Close")));
  box.addEventListener("close", () => box.remove());
  document.body.append(box);
  box.showModal();
}
