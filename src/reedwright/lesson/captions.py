"""The captions of recordings: the count-in, then the notes hole by hole, with words where they fit.

Conventions: as in `cue` and `moments`. A caption holds about a bar. Its first line is tab, each
note marked with the moment it is played; a stroke stands where a bar begins inside it. The second
line says whose turn it is where that changes, which lick begins, and then the key hint of a piece
that begins, or else the names of the notes, as far as it can be read in the time. A caption stays
at least `least-s` where there is room, so a short one may come up before its first note.
Source: reading speed and shortest time, common practice of subtitling, from memory
(`data/plan.toml`).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from pathlib import PurePosixPath

from reedwright.lesson.captiontext import CaptionText, Manner
from reedwright.lesson.cue import MOST_MS, Cue, Run
from reedwright.lesson.heard import Heard
from reedwright.lesson.moments import Moment, count_in_ms, moments_of
from reedwright.performance.perform import perform
from reedwright.performance.play import play
from reedwright.performance.playing import Played
from reedwright.tune.place import Score

FOLDER = "captions"

_Group = Sequence[Moment]


def caption_path(path: str, ending: str) -> str:
    """Where the captions of a recording are kept.

    >>> caption_path("audio/demo-88.mp3", ".vtt")
    'captions/demo-88.vtt'
    """
    return f"{FOLDER}/{PurePosixPath(path).stem}{ending}"


class Captioner:
    """Captions for the recordings of one tune. A tempo is performed once for all of them.

    Errors: SettingError for faults in a teacher's own table.
    """

    def __init__(self, score: Score, manner: Manner | None = None) -> None:
        self._score, manner = score, manner or Manner()
        self._text = CaptionText(score, manner)
        self._numbers = manner.table["caption"]
        self._played: dict[tuple[Fraction, int, float], Played] = {}

    def each(self, heard: Iterable[Heard]) -> Iterator[tuple[Heard, tuple[Cue, ...]]]:
        """Every recording that has captions, once for all its formats: not the parts of a mix."""
        seen: set[str] = set()
        for one in heard:
            path = caption_path(one.path, "")
            if not one.part and path not in seen:
                seen.add(path)
                yield one, self.cues(one)

    def cues(self, heard: Heard) -> tuple[Cue, ...]:
        """The captions of one recording. Linear in its notes. Errors: SettingError for a tempo
        nobody can count; TuneError for notes the harp lacks; LessonError beyond 100 hours."""
        played = self._playing(heard)
        least_ms, linger_ms = self._ms("least-s"), self._ms("linger-s")
        moments = moments_of(heard, played)
        groups = list(self._groups(moments))
        counted = list(self._count_in(heard, played, moments, least_ms))
        begin_ms = counted[-1].end_ms if counted else 0
        file_ms = min(round(1000 * heard.length_s), MOST_MS)
        spans = _spans(groups, begin_ms, file_ms, (least_ms, linger_ms))
        made = [*counted]
        for index, (group, span) in enumerate(zip(groups, spans, strict=True)):
            before = groups[index - 1][-1] if index else None
            counted_with = counted[-1].lines[1:] if counted and not index else ()
            said = self._text.below(group, before, span, whole=not heard.lick, said=counted_with)
            made.append(Cue(*span, (tuple(_marked(self._text.tab(group), span)), *said)))
        return tuple(made)

    def _ms(self, name: str) -> int:
        return round(1000 * self._numbers[name])

    def _playing(self, heard: Heard) -> Played:
        key = (heard.tempo_bpm, heard.seed, heard.human)
        if key not in self._played:
            performance = perform(self._score, heard.tempo_bpm)
            self._played[key] = play(performance, heard.seed, heard.human)
        return self._played[key]

    def _groups(self, moments: Sequence[Moment]) -> Iterator[_Group]:
        """The notes of each caption, in order."""
        least_ms, pause_ms = self._ms("least-s"), self._ms("pause-s")
        group: list[Moment] = []
        for moment in moments:
            if group:
                last, most = group[-1], len(group) >= self._numbers["notes"]
                turned = (last.yours, last.turn) != (moment.yours, moment.turn)
                silent = moment.start_ms - last.end_ms >= pause_ms
                full = moment.start_ms - group[0].start_ms >= least_ms
                if turned or silent or (full and (most or _bar(last) != _bar(moment))):
                    yield group
                    group = []
            group.append(moment)
        if group:
            yield group

    def _count_in(
        self, heard: Heard, played: Played, moments: Sequence[Moment], least_ms: int
    ) -> Iterator[Cue]:
        """The beats counted before the first note, a bar at a time, with what to look out for."""
        end_ms = round(1000 * heard.count_in_s)
        if moments:
            end_ms = min(end_ms, moments[0].start_ms)
        counts = [(beat, at) for beat, at in count_in_ms(heard, played) if at < end_ms]
        bars: list[list[tuple[int, int]]] = []
        for beat, at in counts:
            if not bars or (beat == 1 and at - bars[-1][0][1] >= least_ms <= end_ms - at):
                bars.append([])
            bars[-1].append((beat, at))
        for index, bar in enumerate(bars):
            until_ms = bars[index + 1][0][1] if index + 1 < len(bars) else end_ms
            last = index + 1 == len(bars)
            if last:  # before a rest there is room for a fast count to stay
                free_ms = moments[0].start_ms if moments else round(1000 * heard.length_s)
                until_ms = max(until_ms, min(bar[0][1] + least_ms, free_ms))
            span = bar[0][1], until_ms
            runs = [Run(f" {beat}" if at > span[0] else f"{beat}", at) for beat, at in bar]
            said = self._text.first_hint(moments[0], span) if last and moments else ()
            yield Cue(*span, (tuple(_marked(runs, span)), *said))


def _spans(
    groups: Sequence[_Group], begin_ms: int, file_ms: int, usual_ms: tuple[int, int]
) -> list[tuple[int, int]]:
    """From when to when each group is shown: no two at once, each as long as there is room for."""
    least_ms, linger_ms = usual_ms
    starts = [group[0].start_ms for group in groups] + [file_ms]
    ends: list[int] = []
    for index, group in enumerate(groups):
        start, most = starts[index], starts[index + 1]
        end = min(max(group[-1].end_ms, start + least_ms), max(most, start + 1))
        before = ends[-1] if ends else begin_ms
        starts[index] = max(min(start, end - least_ms), min(before, start))
        ends.append(end)
    stays = (min(end + linger_ms, later) for end, later in zip(ends, starts[1:], strict=True))
    return [
        (start, max(end, stay)) for start, end, stay in zip(starts[:-1], ends, stays, strict=True)
    ]


def _marked(runs: Sequence[Run], span: tuple[int, int]) -> Iterator[Run]:
    """The runs with the moments that a caption can hold: rising, and inside it."""
    last = span[0]
    for run in runs:
        if run.at_ms is not None and last < run.at_ms < span[1]:
            last = run.at_ms
            yield run
        else:
            yield Run(run.text)


def _bar(moment: Moment) -> tuple[int, int]:
    return moment.event.chorus, moment.event.bar
