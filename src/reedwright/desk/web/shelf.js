// @ts-check
/**
 * The shelf: the tunes of the folder, a new one, and for a first visit what a tune looks like.
 */

import { get, inWords, post } from "./api.js";
import { tourSeen } from "./tour.js";
import { counted, fill, h, say, the } from "./dom.js";

/** @typedef {{name: string, title: string, harp: string, key: string, level: string, difficulty: number | null, changed_at: number | string, trouble?: string}} Row */

const FIRST = `Title: My first lick
Harp: C
Position: second
Tempo: 80

Lick Hello
1: 2d 3d' 4d =
2: 4b&3d 2d . .
`;

/** @param {Row} row */
function line(row) {
  const key = row.key ? `in ${row.key}` : "";
  const facts = [row.harp && `${row.harp}${/harp/.test(row.harp) ? "" : " harp"}`, key, row.level].filter(Boolean).join(", ");
  const hard = typeof row.difficulty === "number" ? `difficulty ${row.difficulty.toFixed(1)}` : row.trouble ? `cannot be read yet: ${row.trouble}` : "not to be played yet";
  return h("li", {}, h("a", { href: `/tune/${encodeURIComponent(row.name)}` },
    h("span", { class: "title", dir: "auto" }, row.title || row.name),
    h("span", { class: "facts" }, facts ? `${facts}; ${hard}` : hard),
    h("span", { class: "when" }, ago(row.changed_at))));
}

/** @param {number | string} at seconds since 1970, or a date as text */
function ago(at) {
  const when = typeof at === "number" ? at * 1000 : Date.parse(at);
  const minutes = (Date.now() - when) / 60000;
  if (!Number.isFinite(minutes)) return "";
  if (minutes < 1) return "just now";
  if (minutes < 60) return `${counted(Math.floor(minutes), "minute")} ago`;
  if (minutes < 60 * 24) return `${counted(Math.floor(minutes / 60), "hour")} ago`;
  return new Date(when).toLocaleDateString(undefined, { day: "numeric", month: "long", year: "numeric" });
}

/** @param {Row[]} rows */
function draw(rows) {
  const list = h("ul", { class: "tunes" }, ...rows.map(line));
  const search = h("input", { type: "search", "aria-label": "Find a tune", placeholder: "find", input: () => {
    const wanted = search.value.toLowerCase();
    const fits = rows.filter((row) => `${row.title} ${row.name} ${row.harp} ${row.key} ${row.level}`.toLowerCase().includes(wanted));
    fill(list, ...fits.map(line));
    say(counted(fits.length, "tune"));
  } });
  fill(the("tunes"), h("div", { class: "find" }, h("p", { class: "soft" }, counted(rows.length, "tune")), rows.length > 8 && search), list,
    h("p", {}, h("a", { href: "#", class: "button", click: (/** @type {Event} */ event) => { event.preventDefault(); tour(rows); } }, tourSeen() ? "A short tour" : "New here? Take the short tour")));
}

/** The tour walks over the first demo tune. @param {Row[]} rows */
async function tour(rows) {
  try {
    const told = await get("/api/tour").catch(() => null);
    const name = told?.name ?? rows.find((row) => /ferry/.test(row.name))?.name ?? rows[0]?.name ?? (await begin({ text: FIRST })).name;
    location.href = `/tune/${encodeURIComponent(name)}#tour`;
  } catch (error) {
    trouble(inWords(error));
  }
}

function empty() {
  the("tunes").hidden = true;
  the("empty").hidden = false;
  fill(the("empty"), h("div", { class: "first" },
    h("h2", {}, "Nothing here yet"),
    h("p", {}, "A tune is a few lines of text: which harp, and licks in tab. ", h("code", {}, "4d"), " is four draw, ", h("code", {}, "4b"), " four blow, ", h("code", {}, "3d'"), " three draw bent a half step. Each beat is one word; ", h("code", {}, "&"), " parts a beat, ", h("code", {}, "="), " holds, ", h("code", {}, "."), " rests."),
    h("pre", {}, FIRST),
    h("p", { class: "row" }, h("button", { type: "button", class: "main", click: () => start({ text: FIRST }) }, "Begin with these lines"), h("button", { type: "button", click: () => tour([]) }, "A short tour"))));
}

/** @param {{name?: string, text?: string, title?: string}} wish */
function begin(wish) {
  return post("/api/tunes", wish);
}

/** @param {{name?: string, text?: string, title?: string}} wish */
async function start(wish) {
  try {
    const told = await begin(wish);
    location.href = `/tune/${encodeURIComponent(told.name)}`;
  } catch (error) {
    trouble(inWords(error));
  }
}

/** @param {string} words */
function trouble(words) {
  the("new-trouble").hidden = false;
  the("new-trouble").textContent = words;
}

/** Signs that turn the direction of text or are none are refused by the tune file. @param {string} title */
function blank(title) {
  return `Title: ${title.replace(/\s+/g, " ").trim()}\nHarp: C\nPosition: second\n\nLick One\n1: . . . .\n`;
}

async function load() {
  try {
    const told = await get("/api/tunes");
    const rows = /** @type {Row[]} */ (told.tunes ?? told);
    if (rows.length) {
      the("tunes").hidden = false;
      the("empty").hidden = true;
      draw(rows);
    } else empty();
  } catch (error) {
    fill(the("tunes"), h("p", { class: "trouble", role: "alert" }, inWords(error)));
  }
}

the("new-tune").addEventListener("submit", (event) => {
  event.preventDefault();
  const title = /** @type {HTMLInputElement} */ (the("new-title")).value.trim();
  start({ text: blank(title || "Untitled") });
});
const stream = new EventSource("/api/events");
let later = 0;
const again = () => {
  clearTimeout(later);
  later = setTimeout(load, 300);
};
for (const type of ["message", "changed"]) stream.addEventListener(type, again);
addEventListener("pagehide", () => stream.close());
load();
