// @ts-check
/**
 * The engraved music. The server's drawing is read as XML, stripped of all that could act, and put
 * into a closed tree of its own, so that its styles stay its own. While a new one is made the old
 * one stays, a little paler; a tune that cannot be engraved keeps its last music.
 */

import { Fault, getRaw, inWords, of, query, stopped } from "./api.js";
import { fill, h } from "./dom.js";

const CALM_MS = 300; // from memory: paler only when one would wonder
const STYLE = ":host{display:block;color:var(--ink)} svg{color:var(--ink);fill:currentColor} [fill^=\"#\"]{fill:var(--soft)} [stroke^=\"#\"]{stroke:var(--soft)} :host>svg{display:block;width:100%;height:auto;min-width:34rem} g.note,g.chord,g.rest{cursor:pointer}"
  + ' [font-family="Libertinus Serif"]{font-family:"Libertinus Serif","Times New Roman","Liberation Serif","Nimbus Roman","DejaVu Serif Condensed",serif}'
  + " .is-now{fill:var(--accent)!important;color:var(--accent);stroke:var(--accent)} .is-now *{fill:var(--accent)!important}"
  + " .is-caret{text-decoration:underline} .is-caret *{fill:var(--accent)}";

export class Staff extends EventTarget {
  /** Event `event` {id}: a note was pressed. @param {HTMLElement} host @param {string} name */
  constructor(host, name) {
    super();
    this.name = name;
    /** @type {AbortController | null} */ this.asked = null;
    this.page = h("div", { class: "page", hidden: true });
    this.root = this.page.attachShadow({ mode: "open" });
    this.sheet = new CSSStyleSheet();
    this.sheet.replaceSync(STYLE);
    this.root.adoptedStyleSheets = [this.sheet];
    this.note = h("p", { class: "note" }, "The music appears here once the tune can be read.");
    fill(host, h("h2", {}, "Music"), this.page, this.note);
    this.root.addEventListener("click", (event) => this.pressed(/** @type {MouseEvent} */ (event)));
    /** @type {Map<string, Element[]>} */ this.places = new Map();
  }

  /** @param {number} version @param {boolean} ok @param {string} [title] */
  async at(version, ok, title = "") {
    this.asked?.abort();
    if (!ok) {
      this.page.classList.toggle("old", !this.page.hidden);
      this.note.textContent = this.page.hidden ? "The music appears here once the tune can be read." : "This is the music before the fault; it comes again when that is mended.";
      return;
    }
    const asked = (this.asked = new AbortController());
    const slow = setTimeout(() => this.page.classList.add("old"), CALM_MS);
    try {
      const response = await getRaw(of(this.name, "staff") + query({ version }), asked.signal);
      this.draw(await response.text(), title);
      performance.mark("engraved");
    } catch (error) {
      const overtaken = error instanceof Fault && (error.status === 410 || error.status === 409);
      if (!stopped(error) && !overtaken) this.note.textContent = inWords(error);
    } finally {
      clearTimeout(slow);
      if (this.asked === asked) this.page.classList.remove("old");
    }
  }

  /** @param {string} text @param {string} title */
  draw(text, title) {
    const own = [...text.matchAll(/<style[^>]*>([^<]*)<\/style>/g)].map((found) => found[1]);
    const bare = text.replace(/<style[^>]*>[^<]*<\/style>/g, "").replace(/\sstyle="[^"]*"/g, "");
    const parsed = new DOMParser().parseFromString(bare, "image/svg+xml");
    if (parsed.querySelector("parsererror")) throw new Fault(0, { error: { found: "The music could not be drawn." } });
    const svg = harmless(/** @type {any} */ (parsed.documentElement));
    svg.setAttribute("role", "img");
    svg.setAttribute("aria-label", `${title || "The tune"} as music; the same notes stand in the text`);
    const more = new CSSStyleSheet();
    more.replaceSync(own.join("\n"));
    this.root.adoptedStyleSheets = [more, this.sheet];
    this.root.replaceChildren(document.importNode(svg, true));
    this.page.hidden = false;
    this.note.textContent = "";
    this.places = placesOf(this.root);
  }

  /** @param {MouseEvent} event */
  pressed(event) {
    for (const node of event.composedPath()) {
      const id = node instanceof Element && idOf(node);
      if (id) {
        this.dispatchEvent(new CustomEvent("event", { detail: id }));
        return;
      }
    }
  }

  /** Shows which event sounds, or stands at the caret. @param {string} id @param {"is-now" | "is-caret"} name @param {boolean} [follow] */
  show(id, name, follow = false) {
    for (const old of this.root.querySelectorAll(`.${name}`)) old.classList.remove(name);
    const found = this.places.get(id) ?? [];
    for (const each of found) each.classList.add(name);
    if (follow && found[0]) keepInView(found[0], this.page);
  }
}

/** The event a part of the drawing belongs to. @param {Element} element */
function idOf(element) {
  return element.getAttribute("data-id") || element.getAttribute("data-event") || (/@\d+\.\d+$/.test(element.id) ? element.id : "");
}

/** @param {ShadowRoot} root */
function placesOf(root) {
  const places = new Map();
  for (const element of root.querySelectorAll("[id],[data-id],[data-event]")) {
    const id = idOf(element);
    if (id) places.set(id, [...(places.get(id) ?? []), element]);
  }
  return places;
}

/** The same drawing without anything that acts or asks elsewhere. Styles were taken out of the text
 * before it was read, because the page's policy forbids them in markup. @param {SVGElement} svg */
function harmless(svg) {
  for (const bad of svg.querySelectorAll("script, style, foreignObject, iframe, image, animate, set")) bad.remove();
  for (const element of [svg, ...svg.querySelectorAll("*")]) {
    for (const { name, value } of [...element.attributes]) {
      const link = /^(xlink:)?href$/i.test(name) && !value.startsWith("#");
      if (/^on/i.test(name) || link) element.removeAttribute(name);
    }
  }
  return svg;
}

/** @param {Element} element @param {Element} page */
function keepInView(element, page) {
  const box = element.getBoundingClientRect();
  const room = page.getBoundingClientRect();
  if (box.left < room.left || box.right > room.right) page.scrollBy({ left: box.left - room.left - room.width / 4 });
  if (box.top < 90 || box.bottom > innerHeight - 110) scrollBy({ top: box.top - innerHeight / 3 });
}
