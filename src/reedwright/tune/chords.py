"""Chords of a form, by name (`A7`, `Dm`, `F#m7b5`) or by degree (`I7`, `iv`, `bVI`).

Conventions: intervals in semitones above the root; `root` is a pitch class 0–11. A small letter
degree is minor. Source: common practice.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from reedwright.errors import HarpError, Problem, TuneError
from reedwright.harp.pitch import pitch_class, shown, spell

QUALITIES: dict[str, tuple[int, ...]] = {
    "": (0, 4, 7),
    "m": (0, 3, 7),
    "5": (0, 7),
    "6": (0, 4, 7, 9),
    "m6": (0, 3, 7, 9),
    "7": (0, 4, 7, 10),
    "m7": (0, 3, 7, 10),
    "maj7": (0, 4, 7, 11),
    "9": (0, 4, 7, 10, 2),
    "m9": (0, 3, 7, 10, 2),
    "13": (0, 4, 7, 10, 2, 9),
    "7#9": (0, 4, 7, 10, 3),
    "sus4": (0, 5, 7),
    "7sus4": (0, 5, 7, 10),
    "dim": (0, 3, 6),
    "dim7": (0, 3, 6, 9),
    "m7b5": (0, 3, 6, 10),
    "aug": (0, 4, 8),
    "7#5": (0, 4, 8, 10),
}
_ALIASES = {
    "min": "m",
    "min7": "m7",
    "-": "m",
    "-7": "m7",
    "M7": "maj7",
    "+": "aug",
    "°": "dim",
    "°7": "dim7",
}
_NAMED = re.compile(r"([A-G][#b♯♭]?)(.*)")
_DEGREE = re.compile(r"([b#♭♯]?)(VII|VI|IV|V|III|II|I|vii|vi|iv|v|iii|ii|i)(.*)")
_STEPS = {"i": 0, "ii": 2, "iii": 4, "iv": 5, "v": 7, "vi": 9, "vii": 11}
_NUMERALS = ("I", "bII", "II", "bIII", "III", "IV", "bV", "V", "bVI", "VI", "bVII", "VII")


@dataclass(frozen=True, slots=True)
class Chord:
    """A chord symbol: `root` pitch class and a `quality` of QUALITIES."""

    root: int
    quality: str = ""

    def __post_init__(self) -> None:
        if not 0 <= self.root < 12 or self.quality not in QUALITIES:
            raise _unknown(f"{self.root}{self.quality}")

    @property
    def intervals(self) -> tuple[int, ...]:
        return QUALITIES[self.quality]

    @property
    def minor(self) -> bool:
        return 3 in self.intervals and 4 not in self.intervals

    def up(self, semitones: int) -> Chord:
        """The chord so many semitones higher; lower for less than none."""
        return Chord((self.root + semitones) % 12, self.quality)

    def name(self, fifths: int = 0) -> str:
        """`A7`, spelled in the manner of a key signature."""
        return spell(60 + self.root, fifths)[:-1] + self.quality

    def degree(self, key: int) -> str:
        """The degree in a key: `I7`, `iv`, `bVI`."""
        numeral = _NUMERALS[(self.root - key) % 12]
        if not self.minor and self.quality != "dim":
            return numeral + self.quality
        small = numeral.replace("I", "i").replace("V", "v")
        return small + (
            self.quality.removeprefix("m")
            if self.minor and self.quality[:1] == "m"
            else self.quality
        )


def parse_chord(text: str, key: int) -> Chord:
    """A chord by name or by degree of a key (a pitch class). Errors: TuneError.

    >>> parse_chord("IV7", key=4) == parse_chord("A7", key=4)
    True
    """
    named = _NAMED.fullmatch(text)
    if named is not None:
        return Chord(_root(named[1], text), _quality(named[2], text))
    degree = _DEGREE.fullmatch(text)
    if degree is None:
        raise _unknown(text)
    sign = {"b": -1, "♭": -1, "#": 1, "♯": 1, "": 0}[degree[1]]
    numeral = degree[2]
    quality = degree[3]
    if numeral.islower() and not quality.startswith(("m", "dim", "°")):
        quality = "m" + quality
    return Chord((key + _STEPS[numeral.lower()] + sign) % 12, _quality(quality, text))


def _root(name: str, text: str) -> int:
    try:
        return pitch_class(name)
    except HarpError:
        raise _unknown(text) from None


def _quality(text: str, whole: str) -> str:
    quality = _ALIASES.get(text, text)
    if quality not in QUALITIES:
        raise _unknown(whole)
    return quality


def _unknown(text: str) -> TuneError:
    return TuneError(
        Problem(
            found=f"unknown chord {shown(text)}",
            rule="A chord is a name or a degree, with "
            + ", ".join(quality for quality in QUALITIES if quality),
            mend="write it like A7, Dm, I7, iv or bVI",
        )
    )
