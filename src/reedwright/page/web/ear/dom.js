// @ts-check
/** Elements made in one line; text always as text, never as markup. */

/** @typedef {Record<string, string | number | boolean | ((event: Event) => void)>} Attributes */

/** @template {keyof HTMLElementTagNameMap} K @param {K} tag @param {Attributes} [attributes] @param {(Node | string)[]} children @returns {HTMLElementTagNameMap[K]} */
export function h(tag, attributes = {}, ...children) {
  const made = document.createElement(tag);
  dress(made, attributes);
  made.append(...children);
  return made;
}

/** @param {string} tag @param {Attributes} [attributes] @param {(Node | string)[]} children @returns {SVGElement} */
export function s(tag, attributes = {}, ...children) {
  const made = /** @type {SVGElement} */ (document.createElementNS("http://www.w3.org/2000/svg", tag));
  dress(made, attributes);
  made.append(...children);
  return made;
}

/** @param {Element} made @param {Attributes} attributes */
function dress(made, attributes) {
  for (const [name, value] of Object.entries(attributes)) {
    if (typeof value === "function") made.addEventListener(name, value);
    else if (typeof value === "boolean") made.toggleAttribute(name, value);
    else made.setAttribute(name, String(value));
  }
}
