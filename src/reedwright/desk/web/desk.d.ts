/** What the server sends, as far as the pages read it. Lines and columns count from 1, columns in
 * characters (code points); seconds from the first sample of the count-in. */

export interface Finding {
  severity: "error" | "warning" | "advice";
  message: string;
  rule?: string;
  mend?: string;
  line: number;
  column: number;
  end_column?: number;
  chorus?: number;
  bar?: number;
  beat?: number;
  lick?: string;
  id?: string;
}

export interface Token { line: number; column: number; length: number; kind: string; }

export interface ChordOfBar { beat: number; name: string; degree: string; }
export interface Form { name: string; bars: { bar: number; chords: ChordOfBar[] }[]; }
export interface BarRow { bar: number; index: number; licks: string[]; }
export interface ChorusRow { chorus: number; bars: BarRow[]; }

export interface EventRow {
  id: string; chorus: number; lick: string; bar: number; beat: number; beat_exact: string;
  start_exact: string; length_beats: number; tab: string[]; breath: string; midi: (number | null)[];
  degree: (string | null)[]; chord_degree: (string | null)[]; why: (string | null)[];
  chord: string | null; landing: boolean; shake?: string | boolean | null; marks?: { mark: string; amount: number }[]; words: string; line?: number; column?: number;
}

export interface TimedEvent { id: string; score_s: number; score_end_s: number; played_s: number; played_end_s: number; }
export interface Breathing {
  tempo_bpm: number; beat_s: number; length_s: number;
  bar_lines: { index: number; chorus: number; bar: number; score_s: number }[];
  events: TimedEvent[];
  breath: { time_s: number; litres: number }[];
  breaths: { after: string; way: string; litres: number }[];
  lungs: { low_l: number; high_l: number; comfortable_low_l: number; comfortable_high_l: number };
}

export interface LickName { name: string; slug: string; }

export interface Look {
  version: number;
  ok: boolean;
  title: string;
  about: string;
  findings: Finding[];
  tokens: Token[];
  form: Form;
  choruses: ChorusRow[];
  licks: LickName[];
  events: EventRow[];
  breath: Breathing | null;
  tempos: number[];
  bars: number;
  beats: number;
  harp: string;
  position: number;
}

export interface Change { from: number; to: number; insert: string; }

/** A place in the text: an offset, or a stretch of it, in UTF-16 units. */
export interface Stretch { from: number; to: number; }
