// @ts-check
/**
 * The harp for reference: the server's own chart, in the tune's position.
 */

import { query } from "./api.js";
import { fill, h } from "./dom.js";

export class Chart {
  /** @param {HTMLElement} host */
  constructor(host) {
    this.key = "";
    this.picture = h("div", { class: "picture" });
    this.about = h("summary", {}, "The harp");
    this.box = h("details", { open: matchMedia("(min-width: 60rem)").matches }, this.about, this.picture);
    fill(host, this.box);
  }

  /** @param {string} harp @param {number} position @param {string} words */
  set(harp, position, words) {
    const key = `${harp}|${position}`;
    if (!harp || key === this.key) return;
    this.key = key;
    this.about.textContent = `The harp: ${words || harp}`;
    const source = `/api/harp${query({ harp, position: position || undefined })}`;
    fill(this.picture, h("img", { src: source, alt: `Every note of the ${words || harp}: blow above the holes, draw below`, loading: "lazy" }));
  }
}
