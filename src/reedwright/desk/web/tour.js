// @ts-check
/**
 * The first visit: a few notes beside the things themselves, on a demo tune. Left and right, or the
 * buttons, walk through it; Escape ends it, and it does not come again by itself.
 */

import { h, say, still } from "./dom.js";

const KEY = "reedwright.tour.seen";

const STOPS = [
  { at: "editor", title: "The tune is text", words: "First the facts, then licks in tab: 4d is four draw, 4b four blow, 3d' a half step of bend. Each beat is one word; & parts it, = holds, . rests. Below come the choruses: which lick in which bar." },
  { at: "map", title: "The form at a glance", words: "Every bar with its chords and its lick. Press a bar, and you stand in its words." },
  { at: "staff", title: "What the student reads", words: "The music and the tab, set anew as you type." },
  { at: "findings", title: "Can it be played?", words: "Whatever harp, breath or student cannot do is told here and under the very note, with a way to mend it." },
  { at: "breath", title: "The breath", words: "The air in the lungs, from first note to last, between what is possible and what is comfortable." },
  { at: "hear", title: "Hear it", words: "From this bar, this lick or all of it, at any tempo, with the band. Begin quietly." },
  { at: "pack", title: "Pack it", words: "One button makes sheets, recordings and the student's page. Everything you typed is on disk already; Earlier brings any state back." },
];

/** Whether the tour was seen. A blocked store: yes, for it would come every time. */
export function tourSeen() {
  try {
    return localStorage.getItem(KEY) === "yes";
  } catch {
    return true;
  }
}

export function startTour() {
  let at = 0;
  const title = h("h2", { tabindex: -1, id: "tour-title" });
  const words = h("p", { id: "tour-words" });
  const count = h("p", { class: "quiet" });
  const back = h("button", { type: "button", click: () => go(at - 1) }, "Back");
  const next = h("button", { type: "button", class: "main", click: () => go(at + 1) }, "Next");
  const box = h("div", { class: "tour", role: "dialog", "aria-labelledby": "tour-title", "aria-describedby": "tour-words" },
    count, title, words, h("div", { class: "closing" }, next, back, h("button", { type: "button", click: () => end() }, "End the tour")));
  const keyed = (/** @type {KeyboardEvent} */ event) => {
    if (event.key === "Escape") end();
    if (event.key === "ArrowRight") go(at + 1);
    if (event.key === "ArrowLeft") go(at - 1);
  };
  const end = () => {
    for (const old of document.querySelectorAll(".pointed")) old.classList.remove("pointed");
    box.remove();
    try {
      localStorage.setItem(KEY, "yes");
    } catch {
      // a blocked store: the tour was asked for, and may come again
    }
    document.getElementById("text")?.focus({ preventScroll: true });
  };
  /** @param {number} wanted */
  const go = (wanted) => {
    if (wanted >= STOPS.length) return end();
    at = Math.max(0, wanted);
    const stop = STOPS[at];
    for (const old of document.querySelectorAll(".pointed")) old.classList.remove("pointed");
    const thing = document.getElementById(stop.at);
    thing?.classList.add("pointed");
    thing?.scrollIntoView({ block: "center", behavior: still() ? "auto" : "smooth" });
    title.textContent = stop.title;
    words.textContent = stop.words;
    count.textContent = `${at + 1} of ${STOPS.length}`;
    back.disabled = at === 0;
    next.textContent = at === STOPS.length - 1 ? "Begin" : "Next";
    title.focus({ preventScroll: true });
    say(`${stop.title}. ${stop.words}`);
  };
  box.addEventListener("keydown", keyed);
  document.body.append(box);
  go(0);
}
