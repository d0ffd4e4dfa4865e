// @ts-check
/**
 * A place to drop a file on, that is also a plain file button for keyboards and screen readers.
 */

import { h } from "./dom.js";

/**
 * @param {{id: string, words: string, accept: string, took: (file: File) => void}} wish
 * @returns {HTMLElement}
 */
export function dropPlace({ id, words, accept, took }) {
  const input = h("input", { type: "file", id, accept, class: "unseen" });
  const name = h("span", { class: "file-name soft" });
  const place = h("label", { class: "drop", for: id }, h("span", { class: "button" }, "Choose a file"), " ", h("span", {}, words), " ", name);
  const taken = (/** @type {File | undefined} */ file) => {
    if (!file) return;
    name.textContent = file.name;
    took(file);
  };
  input.addEventListener("change", () => {
    taken(input.files?.[0]);
    input.value = "";
  });
  const over = (/** @type {DragEvent} */ event) => {
    event.preventDefault();
    place.classList.toggle("over", event.type === "dragover");
    if (event.type === "drop") taken(event.dataTransfer?.files[0]);
  };
  for (const type of /** @type {const} */ (["dragover", "dragleave", "drop"])) place.addEventListener(type, over);
  return h("div", { class: "drop-box" }, input, place);
}
