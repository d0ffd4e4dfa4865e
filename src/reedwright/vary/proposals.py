"""Variations of a lick, checked, ranked and different from each other.

Conventions: a proposal is kept only if the whole tune with it in the lick's place has no error and
no warning that the tune did not have before. Costs are in points, lowest first: half a point for
each note that is not as it was, one for each that was on a tone of its chord at a strong beat and
is not any more, and what the tab became harder by (see the fit room), if it did. Weights: from
memory. Of equals the rule named first.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from reedwright.check.check import Report, check
from reedwright.errors import Problem, SettingError, TuneError
from reedwright.fit.costs import POINT, Costs
from reedwright.fit.effort import effort
from reedwright.fit.ways import Way
from reedwright.harp.pitch import shown
from reedwright.tune.barring import TimedSound
from reedwright.tune.chords import Chord
from reedwright.tune.findings import Severity
from reedwright.tune.place import Score, place
from reedwright.tune.read import read_tune
from reedwright.tune.techniques import ladder, techniques_of
from reedwright.tune.tune import Tune
from reedwright.tune.values import Lick, TuneText, slug
from reedwright.tune.write import write_tune
from reedwright.vary.ideas import Idea, answers, endings, shifts, to_chord
from reedwright.vary.line import Line, line_of
from reedwright.vary.palette import Chords, Palette, chords_of, palette_of, placement_of, strong

CHANGED, OFF_CHORD = 0.5, 1.0
MAX_WANTED = 50


@dataclass(frozen=True, slots=True)
class Proposal:
    """A lick in place of another. `cost` in points; `changed` and `why` are sentences."""

    rule: str
    lick: Lick
    changed: str
    why: str
    cost: float


def vary(score: Score, name: str, wanted: int = 5) -> tuple[Proposal, ...]:
    """Proposals for a lick, best first. Errors: SettingError for a lick that is not there or is
    never placed, or for how many are wanted; those of the checks' own tables."""
    full = score.tune.licks.get(slug(name))
    placement = placement_of(score, slug(name))
    if full is None or placement is None or not 1 <= wanted <= MAX_WANTED:
        raise _refused(score, name, wanted)
    line = line_of(full, score.tune.meter.beats)
    palette, chords = palette_of(score.tune), chords_of(score, placement)
    judge = _Judge(score, line, chords)
    kept: dict[tuple[object, ...], Proposal] = {}
    for idea in _ideas(line, palette, chords):
        proposal = judge.judged(idea)
        if proposal is not None:
            looks = tuple((n.start, n.length, n.sound.reeds) for n in idea.line.notes)
            kept.setdefault(looks, proposal)
    return tuple(sorted(kept.values(), key=lambda each: each.cost)[:wanted])


def _refused(score: Score, name: str, wanted: int) -> SettingError:
    if not 1 <= wanted <= MAX_WANTED:
        return SettingError(
            Problem(f"{wanted} variations wanted", f"There are 1 to {MAX_WANTED} at a time")
        )
    placed = [
        lick.lick.name
        for key, lick in score.tune.licks.items()
        if placement_of(score, key) is not None
    ]
    return SettingError(
        Problem(
            f"no lick {shown(name)} is placed in this tune",
            "A lick is varied where it is heard",
            "take one of " + ", ".join(placed) if placed else "place a lick in a chorus first",
        )
    )


def _ideas(line: Line, palette: Palette, chords: Chords) -> Iterator[Idea]:
    yield from endings(line, palette, chords)
    yield from answers(line, palette, chords)
    for chord, name in _other_chords(chords):
        idea = to_chord(line, palette, chords, chord, name)
        if idea is not None:
            yield idea
    yield from shifts(line)


def _other_chords(chords: Chords) -> Iterator[tuple[Chord, str]]:
    """The four and the five chord as the form has them."""
    tune = chords.score.tune
    found = {span.chord.root: span.chord for bar in tune.form.bars for span in reversed(bar)}
    for step, name in ((5, "four"), (7, "five")):
        chord = found.get((tune.key + step) % 12)
        if chord is not None:
            yield chord, name


class _Judge:
    """Judges ideas for one lick of one tune."""

    def __init__(self, score: Score, line: Line, chords: Chords) -> None:
        self._score, self._line, self._chords = score, line, chords
        self._before = complaints(check(score))
        self._costs = Costs(effort())
        self._effort = self._points(line)

    def judged(self, idea: Idea) -> Proposal | None:
        """The idea as a proposal; None where it changes nothing or does not pass."""
        line = idea.line
        same = [(n.start, n.length, n.sound) for n in line.notes]
        if not line.notes or not line.fits():
            return None
        if same == [(n.start, n.length, n.sound) for n in self._line.notes]:
            return None
        lick = line.written()
        if not self._passes(lick, idea):
            return None
        return Proposal(idea.rule, lick, idea.changed, idea.why, round(self._cost(idea), 3))

    def _passes(self, lick: Lick, idea: Idea) -> bool:
        tune = self._score.tune
        try:
            new = rewritten(tune, tune.text, {lick.slug: lick})
        except TuneError:
            return False
        report = check(place(new))
        chord_rule = frozenset({"harmony"} if idea.rule == "chord" else ())  # meant for other bars
        return report.ok and complaints(report, chord_rule) <= self._before

    def _cost(self, idea: Idea) -> float:
        old = {(n.start, n.length, n.sound.reeds) for n in self._line.notes}
        new = {(n.start, n.length, n.sound.reeds) for n in idea.line.notes}
        points = CHANGED * len(new - old)
        if idea.rule != "chord":
            points += OFF_CHORD * max(0, self._off_chord(idea.line) - self._off_chord(self._line))
        return points + max(0.0, self._points(idea.line) - self._effort)

    def _off_chord(self, line: Line) -> int:
        harp = self._score.tune.harp
        return sum(
            harp.midi(note.sound.notes[0]) % 12 not in self._chords.tones_at(note.start)
            for note in line.notes
            if strong(note.start, line.beats)
        )

    def _points(self, line: Line) -> float:
        """What the tab of a line costs a player."""
        beat_s = float(60 / self._score.tune.full_tempo_bpm)
        ways = [_way(at, note, self._score) for at, note in enumerate(line.notes)]
        total = sum(
            self._costs.note(way, float(note.length) * beat_s)
            for way, note in zip(ways, line.notes, strict=True)
        )
        times = [float(b.start - a.start) * beat_s for a, b in pairwise(line.notes)]
        total += sum(
            self._costs.move(a, b, self._costs.time_s(time_s))
            for (a, b), time_s in zip(pairwise(ways), times, strict=True)
            if a.notes != b.notes
        )
        return total / POINT


def _way(at: int, note: TimedSound, score: Score) -> Way:
    steps = ladder().techniques
    asked = techniques_of(note.sound, score.tune.harp)
    hardest = max((steps[each].difficulty for each in asked), default=1.0)
    return Way(at, note.sound.reeds, hardest)


def complaints(report: Report, without: frozenset[str] = frozenset()) -> Counter[str]:
    """How many errors and warnings each check has."""
    return Counter(
        finding.check
        for finding in report.findings
        if finding.severity is not Severity.ADVICE and finding.check not in without
    )


def rewritten(tune: Tune, text: TuneText, licks: dict[str, Lick]) -> Tune:
    """The tune with other licks in place of its own, written and read again. Errors: TuneError."""
    blocks = tuple(
        licks.get(block.slug, block) if isinstance(block, Lick) else block for block in text.blocks
    )
    made = read_tune(write_tune(replace(text, blocks=blocks), tune.signed))
    return replace(made, harp=tune.harp)
