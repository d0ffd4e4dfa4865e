// @ts-check
/**
 * Elements in a line of code each. Text is always set as text, never as markup: titles, remarks and
 * messages are a user's own words.
 */

/** @typedef {Node | string | null | false | undefined} Child */
/** @typedef {Record<string, string | number | boolean | null | undefined | ((event: any) => void)>} Attributes */

/**
 * An element with attributes and children. A function is a listener, `true` an attribute without a
 * value; `false`, null and undefined leave the attribute out.
 * @template {keyof HTMLElementTagNameMap} T
 * @param {T} name
 * @param {Attributes} [attributes]
 * @param {...Child} children
 * @returns {HTMLElementTagNameMap[T]}
 */
export function h(name, attributes = {}, ...children) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) put(made, key, value);
  for (const child of children) if (child || child === "") made.append(child);
  return made;
}

/** @param {Element} made @param {string} key @param {Attributes[string]} value */
function put(made, key, value) {
  if (typeof value === "function") made.addEventListener(key, value);
  else if (value !== false && value !== null && value !== undefined) {
    made.setAttribute(key, value === true ? "" : String(value));
  }
}

const SVG = "http://www.w3.org/2000/svg";

/**
 * The same for drawings.
 * @param {string} name @param {Attributes} [attributes] @param {...Child} children
 * @returns {SVGElement}
 */
export function s(name, attributes = {}, ...children) {
  const made = /** @type {SVGElement} */ (document.createElementNS(SVG, name));
  for (const [key, value] of Object.entries(attributes)) put(made, key, value);
  for (const child of children) if (child || child === "") made.append(child);
  return made;
}

/** The element with an id; the page is broken without it. @param {string} id @returns {HTMLElement} */
export function the(id) {
  const found = document.getElementById(id);
  if (!found) throw new Error(`the page has no #${id}`);
  return found;
}

/** @param {string} id @returns {HTMLButtonElement} */
export function button(id) {
  return /** @type {HTMLButtonElement} */ (the(id));
}

/** Puts children in place of what is there. @param {Element} host @param {...Child} children */
export function fill(host, ...children) {
  host.replaceChildren(...children.filter((child) => child || child === "").map((child) => child || ""));
}

let turn = 0;

/** Says something to a screen reader; the same words twice are said twice. @param {string} words */
export function say(words) {
  turn = (turn + 1) % 2;
  the("say").textContent = words + (turn ? "" : "\u00a0");
}

/** Whether movement on the screen is unwelcome. @returns {boolean} */
export function still() {
  return matchMedia("(prefers-reduced-motion: reduce)").matches;
}

/** Scrolls something into view if it is out of it. @param {Element} element */
export function show(element) {
  element.scrollIntoView({ block: "nearest", inline: "nearest", behavior: still() ? "auto" : "smooth" });
}

/** Words as a sentence: a capital and a full stop. @param {string} words */
export function sentence(words) {
  const told = words.charAt(0).toUpperCase() + words.slice(1);
  return !told || /[.!?…]$/.test(told) ? told : `${told}.`;
}

/** `3 findings`, `1 finding`. @param {number} count @param {string} one @param {string} [many] */
export function counted(count, one, many = `${one}s`) {
  return `${count} ${count === 1 ? one : many}`;
}
