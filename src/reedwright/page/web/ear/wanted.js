// @ts-check
/**
 * What the tab asks for in a scope, at one tempo, from the lesson's data. Times are those of the
 * score (`score_s`): what is marked is the tab, not our player's habits.
 */

/** @typedef {import("./ear.d.ts").Lesson} Lesson */
/** @typedef {import("./ear.d.ts").Scope} Scope */
/** @typedef {import("./ear.d.ts").Wanted} Wanted */
/** @typedef {import("./ear.d.ts").EventRow} EventRow */

const MOVING = /dip|slide|glide|fall|scoop|shake|throat vibrato|release/; // marks that move the pitch itself

/** @param {Lesson} lesson @param {Scope} scope @param {number} tempo index into lesson.tempos @returns {Wanted[]} */
export function wantedIn(lesson, scope, tempo) {
  const asked = new Set(scope.event_ids);
  const rows = new Map(lesson.events.map((row) => [row.id, row]));
  return (lesson.tempos[tempo]?.events ?? []).filter((timed) => asked.has(timed.id) && timed.score_s >= scope.from_s - 0.2 && timed.score_s < scope.to_s + 0.001).flatMap((timed) => {
    const row = rows.get(timed.id);
    return row ? [wantedOf(row, timed.score_s, timed.score_end_s)] : [];
  }).sort((a, b) => a.start_s - b.start_s);
}

/** @param {EventRow} row @param {number} start_s @param {number} end_s @returns {Wanted} */
function wantedOf(row, start_s, end_s) {
  return {
    id: row.id, bar: row.bar, beat: row.beat, tab: row.tab, start_s, end_s, words: row.words || row.tab.join(" and "),
    hertz: row.hertz.flatMap((hertz) => (hertz === null ? [] : [hertz])),
    moving: Boolean(row.shake) || row.marks.some((mark) => MOVING.test(mark.mark)), zone_cents: row.zone_cents,
  };
}
