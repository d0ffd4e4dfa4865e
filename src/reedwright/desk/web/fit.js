// @ts-check
/**
 * A melody is dropped, the few best ways to play it are read, and one is taken as a new tune.
 */

import { get, inWords, upload } from "./api.js";
import { dropPlace } from "./drop.js";
import { fill, h, say, show, the } from "./dom.js";

/** @type {File | null} */
let melody = null;

async function form() {
  const levels = /** @type {string[]} */ (await get("/api/levels").catch(() => []));
  const text = (/** @type {string} */ name, /** @type {string} */ words, /** @type {string} */ hint) => h("label", {}, words, h("input", { name, placeholder: hint, autocomplete: "off" }));
  const tick = (/** @type {string} */ name, /** @type {string} */ words) => h("label", {}, h("input", { type: "checkbox", name }), ` ${words}`);
  const level = h("label", {}, "What the student can do", h("select", { name: "student" }, ...["", ...levels].map((one) => h("option", { value: one }, one || "everything"))));
  fill(the("melody"),
    dropPlace({ id: "melody-file", words: "or drop a melody here: MIDI, MusicXML, ABC, a tune.", accept: ".mid,.midi,.musicxml,.xml,.mxl,.abc,.reed", took: (file) => { melody = file; ask(); } }),
    h("details", {}, h("summary", {}, "Wishes"),
      h("div", { class: "wishes" }, text("harps", "Harps you have", "C, G, A, low D"), text("position", "Position", "any"), level, text("part", "Part of the score", "worked out")),
      h("div", { class: "ticks" }, tick("transpose", "the key may change"), tick("fold", "notes no harp has go an octave"), tick("drop", "or are left out")),
      h("p", {}, h("button", { type: "submit" }, "Work it out again"))),
    h("p", { class: "quiet" }, "A melody may still be in copyright. This program cannot know: before you hand it out or put it online, you must."));
  the("melody").addEventListener("submit", (event) => {
    event.preventDefault();
    if (melody) ask();
  });
}

/** @returns {FormData} */
function wishes() {
  const given = new FormData(/** @type {HTMLFormElement} */ (the("melody")));
  const sent = new FormData();
  for (const [key, value] of given) if (typeof value === "string" && value) sent.append(key, value === "on" ? "true" : value);
  if (melody) sent.append("melody", melody);
  return sent;
}

async function ask() {
  fill(the("choices"), h("p", { class: "soft", role: "status" }, "Working out every harp and position …"));
  try {
    draw(await upload("/api/fit", wishes()));
  } catch (error) {
    fill(the("choices"), h("p", { class: "trouble", role: "alert" }, inWords(error)));
  }
}

/** @param {any} told */
function draw(told) {
  const about = told.melody ?? {};
  const facts = `${about.notes} notes in ${about.bars} bars of ${about.meter}${about.key ? `, in ${about.key}` : ""}.`;
  fill(the("choices"), h("h2", { tabindex: -1 }, about.title || "The melody"), h("p", { class: "soft" }, facts, ...(about.remarks ?? []).map((/** @type {string} */ one) => ` ${one}`)),
    h("ol", { class: "choices" }, ...told.choices.map(row)));
  the("choices").querySelector("h2")?.focus();
  show(the("choices"));
  say(`${told.choices.length} ways to play it.`);
}

/** @param {any} choice @param {number} at */
function row(choice, at) {
  const [name, ...counted] = [choice.verdict ?? ""].flat().join(" ").split(/(?<=\.)\s+/);
  const take = h("button", { type: "button", class: at ? "" : "main", click: () => taken(at, take) }, "Take this one");
  return h("li", {}, h("h3", {}, name.replace(/\.$/, "")), h("p", {}, counted.join(" ")),
    Boolean(choice.why) && h("p", { class: "soft" }, choice.why),
    h("p", { class: "tab" }, choice.tab.map((/** @type {string | null} */ token) => token ?? "·").join("  ")), h("div", { class: "row" }, take));
}

/** @param {number} at @param {HTMLButtonElement} by */
async function taken(at, by) {
  by.disabled = true;
  const form = wishes();
  form.append("choice", String(at + 1));
  try {
    const told = await upload("/api/fit/take", form);
    location.href = `/tune/${encodeURIComponent(told.name)}`;
  } catch (error) {
    by.disabled = false;
    by.insertAdjacentElement("afterend", h("p", { class: "trouble", role: "alert" }, inWords(error)));
  }
}

form();
