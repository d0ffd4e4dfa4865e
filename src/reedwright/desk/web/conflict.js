// @ts-check
/**
 * Two writers at the same words: both texts side by side, place by place, and the writer chooses.
 * Nothing is thrown away: the text not chosen stays in the history.
 */

import { hunks } from "./diff.js";
import { counted, h } from "./dom.js";

/** @typedef {import("./diff.js").Hunk} Hunk */

/**
 * Asks which words stay. Resolves with the whole text that was chosen.
 * @param {{mine: string, theirs: string}} texts
 * @returns {Promise<string>}
 */
export function chooseBetween({ mine, theirs }) {
  const parts = hunks(mine, theirs);
  const open = parts.filter((hunk) => !hunk.same);
  /** @type {Map<Hunk, string>} */
  const choice = new Map(open.map((hunk) => [hunk, "mine"]));
  return new Promise((resolve) => {
    const done = (/** @type {string} */ text) => {
      box.close();
      box.remove();
      resolve(text);
    };
    const box = h("dialog", { class: "conflict", "aria-labelledby": "conflict-name" },
      h("h2", { id: "conflict-name" }, "Written in two places at once"),
      h("p", { class: "lead" }, `Another window or program changed the same words: ${counted(open.length, "place")}. Choose what stays; the other words remain in the history.`),
      h("div", { class: "both-sides" }, h("p", { class: "side-name" }, "In this window"), h("p", { class: "side-name" }, "The other"),
        ...parts.flatMap((hunk) => sides(hunk, choice, open.indexOf(hunk)))),
      h("div", { class: "closing" },
        h("button", { type: "button", class: "main", click: () => done(joinedUp(parts, choice)) }, "Keep what is chosen"),
        h("button", { type: "button", click: () => done(mine) }, "All of this window"),
        h("button", { type: "button", click: () => done(theirs) }, "All of the other")));
    box.addEventListener("cancel", (event) => event.preventDefault());
    document.body.append(box);
    box.showModal();
  });
}

/** @param {Hunk} hunk @param {Map<Hunk, string>} choice @param {number} number @returns {HTMLElement[]} */
function sides(hunk, choice, number) {
  if (hunk.same) return [h("pre", { class: "same" }, shortened(hunk.mine))];
  const side = (/** @type {"mine" | "theirs"} */ which) => {
    const pick = h("input", { type: "radio", name: `place-${number}`, value: which, checked: which === "mine", change: () => choice.set(hunk, which) });
    return h("label", { class: "side" }, pick, h("pre", {}, hunk[which].join("\n") || "(nothing)"));
  };
  const both = h("label", { class: "both-of-them" }, h("input", { type: "radio", name: `place-${number}`, value: "both", change: () => choice.set(hunk, "both") }), " both, one after the other");
  return [side("mine"), side("theirs"), both];
}

/** @param {string[]} lines */
function shortened(lines) {
  if (lines.length <= 5) return lines.join("\n");
  return [...lines.slice(0, 2), `… ${lines.length - 4} lines alike …`, ...lines.slice(-2)].join("\n");
}

/** @param {Hunk[]} parts @param {Map<Hunk, string>} choice */
function joinedUp(parts, choice) {
  return parts.flatMap((hunk) => {
    const which = choice.get(hunk);
    if (hunk.same || which === "mine") return hunk.mine;
    return which === "theirs" ? hunk.theirs : [...hunk.mine, ...hunk.theirs];
  }).join("\n");
}
