"""The legend of a sheet: what the signs of its tab and the words under it mean.

Conventions: a sign is explained when the tune uses it, and not otherwise; the words are those of
`data/words.toml`, the same in print and in plain text. A no-break blank ties a sign to its first
word, so that a line never ends between the two.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from typing import Literal, TypeAlias

from reedwright.harp.note import Breath, TabNote
from reedwright.sheet.options import SheetOptions
from reedwright.sheet.tabstyle import is_range, tab_lines, tab_note
from reedwright.sheet.words import words
from reedwright.tune.place import Score
from reedwright.tune.values import MarkKind, Sound

Kind: TypeAlias = Literal["print", "text"]
_Entry: TypeAlias = tuple[str, dict[str, object]]
"""A key of the legend and what fills its words."""

TIED = "\u00a0"
_SIGNS = {"dip": MarkKind.DIP, "fall": MarkKind.FALL, "ghost": MarkKind.GHOST}
_TECHNIQUES = {
    "throat": MarkKind.THROAT,
    "hand": MarkKind.HAND,
    "wah": MarkKind.WAH,
    "flutter": MarkKind.FLUTTER,
    "slap": MarkKind.SLAP,
    "pull": MarkKind.PULL,
    "blocked": MarkKind.BLOCKED,
}
_RATED = frozenset({MarkKind.THROAT, MarkKind.HAND, MarkKind.WAH})


def legend(
    score: Score, options: SheetOptions, kind: Kind, rhythm_signs: Collection[str] = ()
) -> str:
    """What the signs of a tune mean, in one line; empty for a tune without a sound.

    `rhythm_signs`: those of the keys `hold` and `rest` that the sheet uses.
    """
    sounds = tuple(dict.fromkeys(event.sound for event in score.events))
    dash = "–" if kind == "print" else "-"
    said: list[_Entry] = [
        *_breaths(sounds, options),
        *_bends(sounds),
        *_chords(sounds, options, dash),
        *_marks(sounds, kind),
        *((f"breath_{kind}", {}),) * bool(options.breath_marks),
        *_words(sounds),
    ]
    order = list(words()["legend"])
    said += [(key, {}) for key in rhythm_signs]
    said.sort(key=lambda each: order.index(each[0].replace("_further", "")))
    return ", ".join(_tied(words()["legend"][key].format(**filled)) for key, filled in said)


def _breaths(sounds: tuple[Sound, ...], options: SheetOptions) -> Iterator[_Entry]:
    used = {note.breath for sound in sounds for note in sound.reeds}
    for breath in (Breath.DRAW, Breath.BLOW):
        if breath in used:
            yield breath.word, {"sign": tab_note(TabNote(4, breath), options.tab)}


def _bends(sounds: tuple[Sound, ...]) -> Iterator[_Entry]:
    notes = {note for sound in sounds for note in sound.reeds}
    key, depths = "bend", words()["depths"]
    for bend in sorted({note.bend for note in notes} - {0}):
        depth = depths.get(str(bend), depths["more"]).format(count=bend)
        yield key, {"sign": "'" * bend, "depth": depth}
        key = "bend_further"
    if any(note.over for note in notes):
        yield "over", {}
    if any(note.button for note in notes):
        yield "button", {}


def _chords(sounds: tuple[Sound, ...], options: SheetOptions, dash: str) -> Iterator[_Entry]:
    """Stacks, and the first range as it stands in the tab."""
    chords = [sound for sound in sounds if len(sound.notes) > 1]
    lines = [tab_lines(Sound(sound.notes), options.tab, dash) for sound in chords]
    if any(len(stack) > 1 for stack in lines):
        yield "stacked", {}
    if any("+" in stack[0] for stack in lines):
        yield "joined", {}
    for sound, (sign, *_) in zip(chords, lines, strict=True):
        notes = sorted(sound.notes, key=lambda note: note.hole, reverse=True)
        if is_range(notes):
            yield "range", {"sign": sign, "low": notes[-1].hole, "high": notes[0].hole}
            return


def _marks(sounds: tuple[Sound, ...], kind: Kind) -> Iterator[_Entry]:
    used = {mark.kind for sound in sounds for mark in sound.marks}
    yield from ((key, {}) for key, mark in _SIGNS.items() if mark in used)
    if MarkKind.ACCENT in used:
        yield f"accent_{kind}", {}
    yield from ((key, {}) for key, mark in _TECHNIQUES.items() if mark in used)


def _words(sounds: tuple[Sound, ...]) -> Iterator[_Entry]:
    """Shake, rake and how fast, each as the tune says it first."""
    if any(sound.shake for sound in sounds):
        yield "shake", {}
    marks = [mark for sound in sounds for mark in sound.marks]
    rakes = [mark.amount for mark in marks if mark.kind is MarkKind.RAKE]
    for hole in rakes[:1]:
        yield "rake", {"hole": hole}
    rates = [sound.shake_rate for sound in sounds if sound.shake_rate]
    rates += [mark.amount for mark in marks if mark.kind in _RATED and mark.amount]
    for rate in rates[:1]:
        yield "rate", {"count": rate}


def _tied(entry: str) -> str:
    """`( ) ghost note` with its sign and first word tied."""
    sign, blank, meaning = entry.partition(") ") if entry.startswith("(") else entry.partition(" ")
    if entry.startswith("("):
        return sign.replace(" ", TIED) + ")" + TIED + meaning
    return sign + TIED * bool(blank) + meaning
