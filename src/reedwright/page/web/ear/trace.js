// @ts-check
/**
 * Pitch over time on one still sheet: the notes the tab asks for as outlined boxes as long as they
 * sound and as high as is near enough, what was heard as a line over them. While the tune runs the
 * line goes on from left to right; without it, it starts again at the left every FREE_S.
 * Vertical: cents, one faint rule for each note of the harp asked for here, named at the left.
 */

import { centsBetween } from "./name.js";
import { label } from "./words.js";

/** @typedef {import("./ear.d.ts").Wanted} Wanted */
/** @typedef {import("./ear.d.ts").NoteRow} NoteRow */
/** @typedef {import("./ear.d.ts").Thresholds} Thresholds */

const TALL = 220, LEFT = 78, FOOT = 22, ROOM_CENTS = 180, LEAST_LABEL = 15; // pixels; cents above and below the notes
export const FREE_S = 6;

export class Trace {
  /** @param {HTMLCanvasElement} canvas @param {NoteRow[]} notes @param {Thresholds} limits */
  constructor(canvas, notes, limits) {
    this.canvas = canvas;
    this.notes = notes;
    this.limits = limits;
    /** @type {Wanted[]} */ this.wanted = [];
    this.from_s = 0; this.to_s = FREE_S; this.low_hz = 200; this.high_hz = 800; this.wide = 0;
    /** @type {{time_s: number, hertz: number}[]} */ this.points = [];
    /** @type {Map<string, string>} */ this.signs = new Map();
    this.timed = true;
    new ResizeObserver(() => this.draw()).observe(canvas);
  }

  /** @param {Wanted[]} wanted @param {number} from_s @param {number} to_s @param {boolean} timed whether boxes have a place in time */
  ask(wanted, from_s, to_s, timed) {
    const pitches = (wanted.length > 0 ? wanted.flatMap((want) => want.hertz) : this.notes.map((note) => note.hertz));
    this.wanted = wanted; this.from_s = from_s; this.to_s = Math.max(to_s, from_s + 0.1); this.timed = timed;
    this.low_hz = Math.min(...pitches) * 2 ** (-ROOM_CENTS / 1200);
    this.high_hz = Math.max(...pitches) * 2 ** (ROOM_CENTS / 1200);
    this.points = []; this.signs.clear();
    this.draw();
  }

  /** @param {number} time_s @param {number} hertz 0 breaks the line */
  add(time_s, hertz) {
    const last = this.points[this.points.length - 1];
    if (last && time_s < last.time_s) this.points = [];
    this.points.push({ time_s, hertz });
  }

  /** @param {number} time_s */
  x(time_s) { return LEFT + ((time_s - this.from_s) / (this.to_s - this.from_s)) * (this.wide - LEFT - 4); }
  /** @param {number} hertz */
  y(hertz) { return (TALL - FOOT) * (1 - centsBetween(hertz, this.low_hz) / centsBetween(this.high_hz, this.low_hz)); }

  draw() {
    const pen = this.sized(), style = getComputedStyle(this.canvas);
    if (!pen) return;
    const ink = style.color, soft = style.getPropertyValue("--ear-soft").trim() || ink, line = style.getPropertyValue("--ear-line").trim() || ink;
    pen.clearRect(0, 0, this.wide, TALL);
    pen.font = `12px ${style.fontFamily}`;
    this.rules(pen, ink, soft);
    if (this.timed) this.boxes(pen, ink, soft);
    this.heard(pen, line);
  }

  /** The pen over a canvas as sharp as the screen. */
  sized() {
    const ratio = window.devicePixelRatio || 1, wide = Math.round(this.canvas.clientWidth);
    if (this.canvas.width !== Math.round(wide * ratio) || this.canvas.height !== Math.round(TALL * ratio)) {
      this.canvas.width = Math.round(wide * ratio);
      this.canvas.height = Math.round(TALL * ratio);
    }
    this.wide = wide;
    const pen = wide > 0 ? this.canvas.getContext("2d") : null;
    pen?.setTransform(ratio, 0, 0, ratio, 0, 0);
    return pen;
  }

  /** A rule for each note asked for. @param {CanvasRenderingContext2D} pen @param {string} ink @param {string} soft */
  rules(pen, ink, soft) {
    const asked = new Set(this.wanted.flatMap((want) => want.tab));
    const rows = this.notes.filter((note) => asked.size === 0 ? note.bend === 0 && !note.over : asked.has(note.tab)).sort((a, b) => a.hertz - b.hertz);
    let last = Infinity;
    pen.lineWidth = 1; pen.textBaseline = "middle";
    for (const note of rows) {
      const y = Math.round(this.y(note.hertz)) + 0.5;
      pen.strokeStyle = soft; pen.fillStyle = ink;
      pen.beginPath(); pen.moveTo(LEFT - 4, y); pen.lineTo(this.wide, y); pen.stroke();
      if (last - y >= LEAST_LABEL) { pen.fillText(label(note), 2, y); last = y; }
    }
  }

  /** @param {CanvasRenderingContext2D} pen @param {string} ink @param {string} soft */
  boxes(pen, ink, soft) {
    for (const want of this.wanted) {
      const near = /['o]/.test(want.tab[0]) ? this.limits.bend_cents : this.limits.pitch_cents, x = this.x(want.start_s), wide = Math.max(3, this.x(want.end_s) - x - 2);
      for (const hertz of want.hertz) {
        const top = this.y(hertz * 2 ** (near / 1200)), tall = this.y(hertz * 2 ** (-near / 1200)) - top;
        pen.strokeStyle = ink; pen.setLineDash(want.moving || want.hertz.length > 1 ? [3, 3] : []);
        pen.strokeRect(x, top, wide, tall);
      }
      pen.setLineDash([]);
      const sign = this.signs.get(want.id);
      pen.fillStyle = sign ? ink : soft;
      if (sign) pen.fillText(sign, x, TALL - FOOT / 2);
    }
  }

  /** @param {CanvasRenderingContext2D} pen @param {string} line */
  heard(pen, line) {
    pen.strokeStyle = line; pen.lineWidth = 2.5; pen.lineJoin = "round";
    pen.beginPath();
    let before = 0;
    for (const { time_s, hertz } of this.points) {
      const near = before > 0 && hertz > 0 && Math.abs(centsBetween(hertz, before)) < 150;
      if (hertz > 0) near ? pen.lineTo(this.x(time_s), this.y(hertz)) : pen.moveTo(this.x(time_s), this.y(hertz));
      before = hertz;
    }
    pen.stroke();
    pen.lineWidth = 1;
  }
}
