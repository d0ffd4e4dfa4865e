// @ts-check
/** A pass in words: a sentence for the whole, a table with a row for each note, each to be heard again. */

import { h } from "./dom.js";
import { isRight } from "./judge.js";
import { SIGNS, pitchWords, spoken, summary, timeWords } from "./words.js";

/** @typedef {import("./ear.d.ts").Verdict} Verdict */
/** @typedef {import("./ear.d.ts").NoteRow} NoteRow */
/** @typedef {import("./lookback.js").Pass} Pass */

/** @param {Pass} one @param {NoteRow[]} notes @param {(verdict: Verdict) => void} again @param {() => void} save */
export function results(one, notes, again, save) {
  const head = h("tr", {}, ...["Bar and beat", "Note", "Pitch", "Timing", "Hear it"].map((text) => h("th", { scope: "col" }, text)));
  const rows = one.pass.verdicts.map((verdict) => row(verdict, notes, again));
  return h("div", { class: "ear-results" },
    h("p", { class: "ear-summary", role: "status" }, summary(one.pass)),
    h("div", { class: "ear-scroll", tabindex: 0, role: "region", "aria-label": "Your pass, note by note" },
      h("table", {}, h("caption", {}, "Your pass, note by note"), h("thead", {}, head), h("tbody", {}, ...rows))),
    h("p", {}, h("button", { type: "button", class: "ear-save", click: save }, "Save this recording")));
}

/** @param {Verdict} verdict @param {NoteRow[]} notes @param {(verdict: Verdict) => void} again */
function row(verdict, notes, again) {
  const { wanted } = verdict, name = spoken(wanted.tab, notes), place = `bar ${wanted.bar}, beat ${beat(wanted.beat)}`;
  const hear = verdict.heard ? h("button", { type: "button", "aria-label": `Hear ${name} at ${place} again`, click: () => again(verdict) }, "Hear it") : "–";
  return h("tr", { "data-id": wanted.id, "data-pitch": verdict.pitch, "data-time": verdict.time, class: isRight(verdict) ? "ear-right" : "ear-look" },
    h("th", { scope: "row" }, place), h("td", {}, name), h("td", {}, signed(verdict.pitch, pitchWords(verdict))), h("td", {}, signed(verdict.time, timeWords(verdict))), h("td", {}, hear));
}

/** @param {keyof typeof SIGNS} verdict @param {string} words */
const signed = (verdict, words) => h("span", {}, h("span", { class: "ear-sign", "aria-hidden": "true" }, `${SIGNS[verdict]} `), words);

/** @param {number} value */
const beat = (value) => String(Math.round(value * 100) / 100);

/** The sign to draw under a note: the first thing to look at. @param {Verdict} verdict */
export function signOf(verdict) {
  const look = [verdict.pitch, verdict.time].find((word) => word !== "right" && word !== "undecided");
  return SIGNS[look ?? (verdict.pitch === "right" || verdict.time === "right" ? "right" : "undecided")];
}
