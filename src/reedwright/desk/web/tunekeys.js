// @ts-check
/**
 * What each key of the tune page does. Letters go with Alt; on a Mac, where Alt writes signs (the @ of
 * some keyboards among them), with Control and Option together.
 */

import { button } from "./dom.js";

/** @typedef {import("./keys.js").Key} Key */
/** @typedef {import("./tune.js").Page} Page */

const MAC = /mac|iphone|ipad/i.test(navigator.platform);
const ALT = MAC ? "Control Option" : "Alt";

/** @param {KeyboardEvent} event */
const ctrl = (event) => (event.ctrlKey || event.metaKey) && !event.altKey;

/** A letter with Alt, by what it writes, or by its place where the layout writes no Latin letters.
 * @param {string} letter @returns {(event: KeyboardEvent) => boolean} */
function alt(letter) {
  return (event) => {
    if (!event.altKey || event.metaKey || event.ctrlKey !== MAC) return false;
    const latin = /^[\x20-\x7e]$/.test(event.key) && !MAC;
    return latin ? event.key.toLowerCase() === letter.toLowerCase() : event.code === `Key${letter}`;
  };
}

/** @param {string} key @param {boolean} shift @returns {(event: KeyboardEvent) => boolean} */
function plain(key, shift) {
  return (event) => event.key === key && event.shiftKey === shift && !event.ctrlKey && !event.metaKey && !event.altKey;
}

/** Undo outside the fields that have one of their own. @param {boolean} shift @returns {(event: KeyboardEvent) => boolean} */
function undoing(shift) {
  return (event) => ctrl(event) && event.shiftKey === shift && event.key.toLowerCase() === "z" && !writing();
}

function writing() {
  const at = document.activeElement;
  return at instanceof HTMLTextAreaElement || (at instanceof HTMLInputElement && at.type === "text");
}

/** @param {Page} page @returns {Key[]} */
export function tuneKeys(page) {
  const press = (/** @type {string} */ id) => () => button(id).click();
  return [
    { key: "Ctrl Enter", words: "write by keys, and back to the text", test: (event) => ctrl(event) && event.key === "Enter", act: press("entry") },
    { key: `${ALT} P`, words: "hear, or stop", test: alt("P"), act: () => page.hear.toggle() },
    { key: `${ALT} B`, words: "hear this bar", test: alt("B"), act: () => page.hear.start({ from: page.map.here, bars: 1, words: "this bar" }) },
    { key: "F8", words: "next finding", test: plain("F8", false), act: () => page.finding(1) },
    { key: "Shift F8", words: "finding before", test: plain("F8", true), act: () => page.finding(-1) },
    { key: `${ALT} O`, words: "other ways to play the lick at the caret", test: alt("O"), act: press("vary") },
    { key: `${ALT} T`, words: "show chord tones", test: alt("T"), act: press("tones") },
    { key: `${ALT} W`, words: "to the text", test: alt("W"), act: () => page.editor.area.focus() },
    { key: `${ALT} M`, words: "to the map of the form", test: alt("M"), act: () => page.map.bars.get(page.map.here)?.focus() },
    { key: `${ALT} L`, words: "to the lesson", test: alt("L"), act: () => page.goTo("teach") },
    { key: `${ALT} K`, words: "to the pack", test: alt("K"), act: () => page.goTo("pack") },
    { key: `${ALT} H`, words: "earlier states", test: alt("H"), act: press("earlier") },
    { key: "Ctrl Z", words: "undo, whatever it was", test: undoing(false), act: () => page.undo.back() },
    { key: "Ctrl Shift Z", words: "redo", test: undoing(true), act: () => page.undo.forth() },
    { key: "F1", words: "this list", test: plain("F1", false), act: press("keys") },
  ];
}
