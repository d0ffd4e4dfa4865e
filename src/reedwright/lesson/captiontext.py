"""What a caption says: tab, and below it whose turn it is, the lick, a hint or the notes' names.

Conventions: plain text; a format escapes it for itself. What the tune calls things is set apart
where it runs from right to left (UAX 9), on every line it stands on.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from textwrap import wrap

from reedwright.lesson.cue import Run, plain
from reedwright.lesson.moments import Moment
from reedwright.lesson.phrases import Phrases, phrases
from reedwright.lesson.plantable import PlanTable, plan_table
from reedwright.lesson.words.isolate import isolated
from reedwright.lesson.words.speech import TuneWords
from reedwright.lesson.words.vocabulary import Vocabulary
from reedwright.lesson.words.wording import wording
from reedwright.tune.events import Event
from reedwright.tune.place import Score
from reedwright.tune.tokens import format_sound
from reedwright.tune.values import Sound

LINES = 2
"""Lines below the tab at most (common practice: few)."""

HINTING = ("fault", "role", "hands", "air", "force")
"""Kinds of sentences that make a hint, the most useful while playing first (from memory)."""

_FSI, _PDI = "\u2068", "\u2069"


def tab_in_letters(sound: Sound) -> str:
    """Tab as in the tune file, without marks."""
    return format_sound(replace(sound, marks=()))


def key_hints(words: TuneWords) -> dict[str, tuple[str, ...]]:
    """Of all that is said of each piece what helps while playing it, the most useful first."""
    order = {kind: place for place, kind in enumerate(HINTING)}
    hints: dict[str, tuple[str, ...]] = {}
    for piece, sentences in words.pieces.items():
        kinds = [(order.get(one.pattern.partition(".")[0], -1), one.text) for one in sentences]
        chosen = sorted((kind for kind in kinds if kind[0] >= 0), key=lambda kind: kind[0])
        hints[piece] = tuple(text for _, text in chosen)
    return hints


@dataclass(frozen=True, slots=True)
class Manner:
    """How captions are written. `hints`: sentences for a piece, the best first, by its id; `tab`:
    how a sound is written; numbers and phrases as in `plan`."""

    hints: Mapping[str, Sequence[str]] = field(default_factory=dict)
    tab: Callable[[Sound], str] = tab_in_letters
    table: PlanTable = field(default_factory=plan_table)
    said: Phrases = field(default_factory=phrases)


Span = tuple[int, int]
"""From when to when a caption is shown, in milliseconds."""

Lines = tuple[tuple[Run, ...], ...]


class CaptionText:
    """The texts of one tune's captions; what a sound is called is worked out once."""

    def __init__(self, score: Score, manner: Manner) -> None:
        self._manner, numbers = manner, manner.table["caption"]
        self._chars_per_s, self._width = numbers["chars-per-s"], int(numbers["line-chars"])
        self._words = Vocabulary(wording(manner.said.language), compound=score.tune.meter.compound)
        self._tabs: dict[Sound, str] = {}
        self._names: dict[Sound, str] = {}
        self._hints = dict(_hints(score, manner.hints))

    def tab(self, group: Sequence[Moment]) -> list[Run]:
        """The notes of a caption as tab, each with its moment."""
        runs: list[Run] = []
        before: Event | None = None
        for moment in group:
            event = moment.event
            text = self._tabs.get(event.sound)
            if text is None:
                text = self._tabs[event.sound] = plain(self._manner.tab(event.sound))
            if before is not None:
                same = (before.chorus, before.bar) == (event.chorus, event.bar)
                text = f" {text}" if same else f" | {text}"
            runs.append(Run(text, moment.start_ms))
            before = event
        return runs

    def below(
        self,
        group: Sequence[Moment],
        before: Moment | None,
        span: Span,
        *,
        whole: bool,
        said: Lines,
    ) -> Lines:
        """The lines under the tab. `before`: the note before the first; `whole`: whether the file
        holds the whole tune, in which licks are told apart; `said`: what has just been said."""
        first = group[0]
        label = list(self._label(first, before, whole))
        hinted = [moment for moment in group if not said or moment is not first]
        hints = [text for moment in hinted for text in self._of(moment.event)]
        names = ", ".join(self._name(moment.event.sound) for moment in group)
        for text in (*hints, names):
            lines = self._fitting(" · ".join(label), text, span)
            if lines:
                return _runs(lines)
        return _runs([" · ".join(label)]) if label else ()

    def first_hint(self, first: Moment, span: Span) -> Lines:
        """What to look out for, below the count."""
        for text in self._of(first.event):
            lines = self._fitting("", text, span)
            if lines:
                return _runs(lines)
        return ()

    def _label(self, first: Moment, before: Moment | None, whole: bool) -> Iterator[str]:
        say = self._manner.said.say
        if first.yours and (before is None or not before.yours or before.turn != first.turn):
            yield say("caption", "yours")
        elif before is not None and before.yours and not first.yours:
            yield say("caption", "listen")
        if whole and (before is None or before.event.lick != first.event.lick):
            yield isolated(plain(first.event.lick))

    def _of(self, event: Event) -> Iterable[str]:
        """The hints for a piece that begins with a note, here or where its lick is taught."""
        own = self._hints.get(event.id)
        return own or self._hints.get(_written(event.lick, event.id), ())

    def _name(self, sound: Sound) -> str:
        name = self._names.get(sound)
        if name is None:
            name = self._names[sound] = plain(self._words.short(sound))
        return name

    def _fitting(self, label: str, text: str, span: Span) -> list[str]:
        """The lines of a label and a text, if they can be read in the time; none if not."""
        chars = len(label) + len(text)
        if chars * 1000 > self._chars_per_s * (span[1] - span[0]):
            return []
        together = f"{label}: {text}" if label else text
        if len(together) <= self._width:
            return [together]
        lines = self._wrapped(text)
        lines = [label, *lines] if label and len(lines) < LINES else self._wrapped(together)
        return list(_set_apart(lines)) if len(lines) <= LINES else []

    def _wrapped(self, text: str) -> list[str]:
        """Broken between words only: `half-step` is one."""
        return wrap(text, self._width, break_on_hyphens=False)


def _hints(
    score: Score, hints: Mapping[str, Sequence[str]]
) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Hints by the id of a note, and by where it is written for the other placings of its lick."""
    if not hints:
        return
    for event in reversed(score.events):  # of several written alike the first is kept
        if event.id in hints:
            texts = tuple(plain(text) for text in hints[event.id])
            yield event.id, texts
            yield _written(event.lick, event.id), texts


def _written(lick: str, event_id: str) -> str:
    """Where a note was written, and in which lick it is played."""
    return f"{event_id.partition('@')[0]} {lick}"


def _set_apart(lines: Iterable[str]) -> Iterator[str]:
    """Lines in which every isolate that a break cut in two is closed, and opened again."""
    still_open = 0
    for line in lines:
        text = _FSI * still_open + line
        still_open = max(0, text.count(_FSI) - text.count(_PDI))
        yield text + _PDI * still_open


def _runs(lines: Iterable[str]) -> Lines:
    return tuple((Run(line),) for line in lines)
