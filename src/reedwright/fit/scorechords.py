"""Chord symbols of scores, as near as the tune room knows them.

Conventions: `kind` values of MusicXML's harmony element; ABC and text by name. A chord of a kind
that is not known becomes the nearest one below it (an eleventh a ninth, with the same third).
Slash basses are left out. Source: MusicXML 4.0, kind-value; ABC standard 2.1, chord symbols.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, TypeAlias

from reedwright.errors import InputError
from reedwright.tune.chords import Chord, parse_chord

if TYPE_CHECKING:
    from lxml import etree

    Element: TypeAlias = "etree._Element"

_KINDS = {
    "major": "", "minor": "m", "augmented": "aug", "diminished": "dim", "dominant": "7",
    "major-seventh": "maj7", "minor-seventh": "m7", "diminished-seventh": "dim7",
    "augmented-seventh": "7#5", "half-diminished": "m7b5", "major-minor": "m", "major-sixth": "6",
    "minor-sixth": "m6", "dominant-ninth": "9", "major-ninth": "maj7", "minor-ninth": "m9",
    "dominant-11th": "9", "major-11th": "maj7", "minor-11th": "m9", "dominant-13th": "13",
    "major-13th": "maj7", "minor-13th": "m9", "suspended-second": "", "suspended-fourth": "sus4",
    "power": "5",
}  # fmt: skip
_STEPS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
_NAME = re.compile(r"([A-G])([#b♯♭]?)([^/]{0,20}?)(?:/.{0,10})?")
_NEAREST = (
    ("maj", "maj7"), ("m7b5", "m7b5"), ("min9", "m9"), ("min", "m"), ("m9", "m9"), ("m11", "m9"),
    ("m13", "m9"), ("m7", "m7"), ("m6", "m6"), ("dim7", "dim7"), ("dim", "dim"), ("m", "m"),
    ("aug", "aug"), ("+", "aug"), ("13", "13"), ("11", "9"), ("9", "9"), ("7sus", "7sus4"),
    ("7", "7"), ("6", "6"), ("sus2", ""), ("sus", "sus4"), ("add", ""),
)  # fmt: skip


def chord_of(harmony: Element, transposed: int) -> tuple[bool, Chord | None]:
    """Whether the symbol is known, and the chord; None for no chord."""
    kind = (harmony.findtext("kind") or "").strip()
    if kind == "none":
        return True, None
    step = _STEPS.get((harmony.findtext("root/root-step") or "").strip())
    quality = _KINDS.get(kind)
    if step is None or quality is None:
        return False, None
    sign = (harmony.findtext("root/root-alter") or "0").strip()
    alter = int(sign) if sign in ("-2", "-1", "0", "1", "2") else 0
    return True, Chord((step + alter + transposed) % 12, quality)


def chord_named(text: str) -> Chord | None:
    """A chord by its name, or None where it is not one: `Am7`, `D/F#`, `Gmaj9`."""
    found = _NAME.fullmatch(text.strip())
    if found is None:
        return None
    root = found[1] + found[2]
    quality = found[3].strip()
    near = next((to for start, to in _NEAREST if quality.startswith(start)), None)
    for wanted in (quality, near):
        if wanted is not None:
            try:
                return parse_chord(root + wanted, 0)
            except InputError:
                continue
    return None
