"""Tab as a student reads it: `-4'`, `↓4'` or `4d'`, chords as stacked holes, words on technique.

Conventions: a sound has one or more lines of tab, the highest hole on the top line; a chord of
four or more neighbouring plain holes is one line with its range (`1–4`). In print the minus, the
prime and the dash are the real signs; plain text uses the keyboard's. A glide into a note is a
stroke before its hole (`/`), a glide out of it a stroke after (`\\`), a ghost note stands in
brackets, all as in the tune file. Signs for draw (`-`, `↓`) and overbends (`o`): common practice.
"""

from __future__ import annotations

from reedwright.harp.note import Breath, TabNote
from reedwright.sheet.options import TabStyle
from reedwright.tune.values import Mark, MarkKind, Sound

WIDE_CHORD = 4
"""Holes from which a chord is printed as a range."""

MAX_LINES = 7
"""Most lines of tab under one note; more holes than that go on one line."""

_BREATH = {
    TabStyle.SIGNS: {Breath.BLOW: ("", ""), Breath.DRAW: ("-", "")},
    TabStyle.ARROWS: {Breath.BLOW: ("↑", ""), Breath.DRAW: ("↓", "")},
    TabStyle.LETTERS: {Breath.BLOW: ("", "b"), Breath.DRAW: ("", "d")},
}
_WORDS = {
    MarkKind.RAKE: "rake {}",
    MarkKind.THROAT: "vib",
    MarkKind.HAND: "hand vib",
    MarkKind.WAH: "wah",
    MarkKind.FLUTTER: "flutter",
    MarkKind.SLAP: "slap",
    MarkKind.PULL: "pull",
    MarkKind.BLOCKED: "tongue",
}
_PRINTED = str.maketrans({"-": "−", "'": "′"})


def printed(text: str) -> str:
    """Plain tab with the signs of print: a real minus and primes."""
    return text.translate(_PRINTED)


def tab_note(note: TabNote, style: TabStyle) -> str:
    """One hole in plain text: `-4'`, `↓4'`, `4d'`; `-7o` for an overbend, `3*` with the button."""
    before, after = _BREATH[style][note.breath]
    return f"{before}{note.hole}{after}{'o' * note.over}{chr(39) * note.bend}{'*' * note.button}"


def tab_lines(sound: Sound, style: TabStyle, dash: str = "–") -> tuple[str, ...]:
    """The tab of a sound in plain text, top line first; `dash` joins the ends of a range."""
    notes = sorted(sound.reeds, key=lambda note: note.hole, reverse=True)
    if is_range(notes):
        before, after = _BREATH[style][notes[0].breath]
        lines = [f"{before}{notes[-1].hole}{dash}{notes[0].hole}{after}"]
    else:
        lines = [tab_note(note, style) for note in notes]
    if len(lines) > MAX_LINES:
        lines = ["+".join(reversed(lines))]
    kinds = {mark.kind for mark in sound.marks}
    if kinds:
        lines[0] = "/" * (MarkKind.DIP in kinds) + lines[0] + "\\" * (MarkKind.FALL in kinds)
        if MarkKind.GHOST in kinds:
            lines = [f"({line})" for line in lines]
    return tuple(lines)


def is_range(notes: list[TabNote]) -> bool:
    """Whether these notes, high hole to low, are printed as a range."""
    first = notes[0]
    return (
        len(notes) >= WIDE_CHORD
        and first == first.natural()
        and not first.button
        and all(note == TabNote(first.hole - step, first.breath) for step, note in enumerate(notes))
    )


def technique(sound: Sound) -> str:
    """What the tab cannot say, in a few words: `shake`, `vib ×4` (four a beat), `tongue slap`."""
    words = ["shake" + _rate(sound.shake_rate)] if sound.shake is not None else []
    words += [_word(mark) for mark in sound.marks if mark.kind in _WORDS]
    return " ".join(words)


def _word(mark: Mark) -> str:
    if mark.kind is MarkKind.RAKE:
        return _WORDS[mark.kind].format(mark.amount)
    return _WORDS[mark.kind] + _rate(mark.amount)


def _rate(rate: object) -> str:
    return f" ×{rate}" if rate else ""
