/** What the ear's modules hand each other. Seconds, hertz, cents and dBFS as the names say; a time of
 * a reading is the middle of the frame it was read from. */

/** note: one pitch; unclear: sound, but noise, speech or several reeds; silent: below the floor. */
export type State = "note" | "unclear" | "silent";
export interface Reading { time_s: number; state: State; hertz: number; clarity: number; level_dbfs: number; }
export interface TrackerOptions { low_hz?: number; high_hz?: number; hop?: number; floor_dbfs?: number; }

export interface NoteRow { tab: string; hole: number; breath: string; bend: number; over: boolean; midi: number; hertz: number; }
export interface Named { tab: string; cents: number; also: string[]; words: string; }

/** One sound as heard; hertz 0 where no single pitch could be told. */
export interface Heard { start_s: number; end_s: number; hertz: number; spread_cents: number; level_dbfs: number; }

export interface Mark { mark: string; amount: number; }
export interface Wanted {
  id: string; bar: number; beat: number; tab: string[]; hertz: number[]; start_s: number; end_s: number;
  moving: boolean; zone_cents: [number, number] | null; words: string;
}
export interface Thresholds { bend_cents: number; pitch_cents: number; onset_ms: number; clean_share: number; }
export type PitchVerdict = "right" | "low" | "high" | "different" | "absent" | "undecided";
export type TimeVerdict = "right" | "ahead" | "behind" | "absent" | "undecided";
export interface Verdict {
  wanted: Wanted; heard: Heard | null; pitch: PitchVerdict; time: TimeVerdict;
  cents: number | null; late_ms: number | null; why: string;
}
export type Clock = "measured" | "own pulse";
export interface Marked { verdicts: Verdict[]; extra: Heard[]; clock: Clock; removed_ms: number; clean: boolean; judged: number; right: number; }

export type Calibration = { ok: true; offset_s: number; spread_ms: number; used: number } | { ok: false; why: string };

export interface EventRow {
  id: string; lick: string; chorus: number; bar: number; beat: number; tab: string[]; hertz: (number | null)[];
  shake: string | boolean | null; marks: Mark[]; zone_cents: [number, number] | null; words: string;
}
export interface TempoRow {
  tempo_bpm: number; beat_s: number; length_s: number;
  events: { id: string; score_s: number; score_end_s: number }[];
}
export interface Lesson { title: string; events: EventRow[]; tempos: TempoRow[]; notes: NoteRow[]; marking: Thresholds & { level: string }; }
export interface Scope { slug: string; piece: number | null; event_ids: string[]; from_s: number; to_s: number; tempo_bpm: number; }
export interface Player extends EventTarget {
  context(): AudioContext; tempo: number; playing: boolean; at_context_s(score_s: number): number;
  play(run: { from_s: number; to_s: number; loop: boolean; count_in: boolean }): void | Promise<void>; stop(): void;
}
export interface EarParts { lesson: Lesson; player: Player; scope: () => Scope; worklet_url?: string; }
/** What the worklet posts. start_s: context time of the first sample of the block. */
export type FromWorklet = { kind: "readings"; readings: Reading[] } | { kind: "samples"; start_s: number; samples: Float32Array };
