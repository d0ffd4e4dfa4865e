// @ts-check
/**
 * The engraved music. The server's drawing is read as XML, stripped of all that could act, and put
 * into a closed tree of its own, so that its styles stay its own. While a new one is made the old
 * one stays, a little paler; a tune that cannot be engraved keeps its last music.
 */

import { Fault, getRaw, inWords, of, query, stopped } from "./api.js";
import { fill, h } from "./dom.js";

const CALM_MS = 300; // from memory: paler only when one would wonder
const STYLE = ":host{display:block;color:var(--ink)} svg{color:var(--ink);fill:currentColor} [fill^=\"#\"]{fill:var(--soft)} [stroke^=\"#\"]{stroke:var(--soft)} .line{contain:layout paint style;min-width:34rem;padding-bottom:.7rem} .line>svg{display:block;height:auto} g.note,g.chord,g.rest{cursor:pointer}"
  + ' [font-family="Libertinus Serif"]{font-family:"Libertinus Serif","Times New Roman","Liberation Serif","Nimbus Roman","DejaVu Serif Condensed",serif}'
  + " .is-now{fill:var(--accent)!important;color:var(--accent);stroke:var(--accent)} .is-now *{fill:var(--accent)!important}"
  + " .is-caret{text-decoration:underline} .is-caret *{fill:var(--accent)}";

/** @typedef {{key: string, box: HTMLElement}} Line */

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
    this.own = new CSSStyleSheet();
    this.root.adoptedStyleSheets = [this.own, this.sheet];
    this.picture = h("div", { role: "img", "aria-label": "Music" });
    this.root.append(this.picture);
    /** @type {Line[]} */ this.lines = [];
    this.styles = "";
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

  /** Draws the lines of music that are not drawn yet, and keeps those that are. @param {string} text @param {string} title */
  draw(text, title) {
    const { lines, width, styles } = linesOf(text);
    const known = new Map(this.lines.map((line) => [line.key, line]));
    this.lines = lines.map((key) => known.get(key) ?? drawn(key, width));
    if (styles !== this.styles) {
      this.styles = styles;
      this.own.replaceSync(styles);
    }
    this.picture.setAttribute("aria-label", `${title || "The tune"} as music; the same notes stand in the text`);
    place(this.picture, this.lines.map((line) => line.box));
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

/** The lines of the server's drawing as text, each a picture by itself; how wide the widest is, and the
 * rules of style they share. @param {string} text */
function linesOf(text) {
  const [head, ...lines] = text.split(/(?=<svg x="0" y=")/);
  const width = Number(/viewBox="0 0 ([0-9.]+) /.exec(head)?.[1] ?? 0);
  const styles = new Set();
  const keys = lines.map((line, at) => (at === lines.length - 1 ? line.replace(/<\/svg>\s*$/, "") : line)
    .replace(/ y="[0-9.]+"/, "")
    .replace(/<style[^>]*>([^<]*)<\/style>/g, (_, rules) => {
      styles.add(rules.replace(/#[\w-]+ /g, ""));
      return "";
    })
    .replace(/\sstyle="[^"]*"/g, ""));
  return { lines: keys, width, styles: [...styles].join("\n") };
}

/** A line of music as elements. @param {string} key @param {number} width of the widest line @returns {Line} */
function drawn(key, width) {
  const parsed = new DOMParser().parseFromString(key, "image/svg+xml");
  if (parsed.querySelector("parsererror")) throw new Fault(0, { error: { found: "The music could not be drawn." } });
  const svg = harmless(/** @type {any} */ (parsed.documentElement));
  const wide = Number(svg.getAttribute("width"));
  svg.setAttribute("width", `${Math.min(100, (100 * wide) / (width || wide))}%`);
  for (const name of ["x", "height"]) svg.removeAttribute(name);
  const box = h("div", { class: "line" });
  box.append(document.importNode(svg, true));
  return { key, box };
}

/** Puts boxes in order, touching only those that are not where they belong. @param {Element} host @param {Element[]} boxes */
function place(host, boxes) {
  const wanted = new Set(boxes);
  for (const child of [...host.children]) if (!wanted.has(child)) child.remove();
  boxes.forEach((box, at) => {
    if (host.children[at] !== box) host.insertBefore(box, host.children[at] ?? null);
  });
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
