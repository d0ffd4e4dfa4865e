"""Keys, meters, tempos and lengths of ABC's information fields.

Source: the ABC music standard 2.1, sections 3.1.6 (M), 3.1.8 (Q), 3.1.14 (K) and 4.6 (clefs).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

STEPS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
_FIFTHS = {"C": 0, "D": 2, "E": 4, "F": -1, "G": 1, "A": 3, "B": 5}
_MODES = {"": 0, "maj": 0, "ion": 0, "m": -3, "min": -3, "aeo": -3, "mix": -1, "dor": -2,
          "phr": -4, "lyd": 1, "loc": -5}  # fmt: skip
_MINOR = ("m", "min", "aeo", "dor", "phr", "loc")
_SHARPS = "FCGDAEB"
_KEY = re.compile(r"([A-G])([#b]?)\s*([A-Za-z]*)(.*)", re.DOTALL)
_SIGNED = re.compile(r"(\^\^|__|\^|_|=)([A-Ga-g])")
_OCTAVES = re.compile(r"octave\s*=\s*([+-]?[0-9])|clef\s*=\s*\S*?([+-]8)")
_TRANSPOSED = re.compile(r"transpose\s*=\s*([+-]?[0-9]{1,2})")
SIGNS = {"^^": 2, "^": 1, "=": 0, "_": -1, "__": -2}


@dataclass(frozen=True, slots=True)
class Key:
    """`alter`: semitones by step letter; `tonic`: pitch class and minor, None where none is named;
    `moved`: semitones that every note sounds higher."""

    alter: tuple[tuple[str, int], ...] = ()
    tonic: tuple[int, bool] | None = None
    fifths: int | None = None
    moved: int = 0


def parse_key(text: str, before: Key) -> Key:
    """A `K:` field; one that only names a clef keeps the key before."""
    plain = text.strip()
    moved = _moved(plain)
    if plain[:2] in ("HP", "Hp"):  # highland pipes: F and C sharp (the standard's own rule)
        return Key((("C", 1), ("F", 1)), (9, False), 2, moved)
    if re.match(r"none\b", plain):
        return Key(moved=moved)
    found = _KEY.match(plain)
    if found is None or (found[3] and found[3].lower()[:3] not in _MODES and not _is_word(found)):
        return Key(before.alter, before.tonic, before.fifths, moved)
    mode = found[3].lower()[:3] if found[3].lower()[:3] in _MODES else ""
    sign = {"#": 1, "b": -1}.get(found[2], 0)
    fifths = _FIFTHS[found[1]] + 7 * sign + _MODES[mode]
    alter = {} if re.search(r"\bexp\b", plain) else dict(_signature(fifths))
    for accidental, step in _SIGNED.findall(found[4]):
        alter[step.upper()] = SIGNS[accidental]
    tonic = (STEPS[found[1]] + sign + moved) % 12
    return Key(tuple(sorted(alter.items())), (tonic, mode in _MINOR), fifths, moved)


def _is_word(found: re.Match[str]) -> bool:
    """Whether what follows the key note is another word, such as exp or clef."""
    return found[3].lower() in ("exp", "clef", "treble", "bass", "transpose", "octave", "middle")


def _moved(text: str) -> int:
    octave, transposed = _OCTAVES.search(text), _TRANSPOSED.search(text)
    moved = 12 * int(octave[1] or int(octave[2]) // 8) if octave else 0
    return moved + (int(transposed[1]) if transposed else 0)


def _signature(fifths: int) -> list[tuple[str, int]]:
    if fifths >= 0:
        return [(_SHARPS[at % 7], 1 + at // 7) for at in range(min(fifths, 14))]
    return [(_SHARPS[6 - at % 7], -1 - at // 7) for at in range(min(-fifths, 14))]


def parse_meter(text: str) -> tuple[int, int] | None:
    """An `M:` field; None for free meter and what cannot be read."""
    plain = text.strip().replace("(", "").replace(")", "")
    if plain.startswith("C|"):
        return 2, 2
    if plain.startswith("C"):
        return 4, 4
    found = re.match(r"([0-9]{1,2}(?:\+[0-9]{1,2})*)\s*/\s*([0-9]{1,2})", plain)
    return (sum(map(int, found[1].split("+"))), int(found[2])) if found else None


def parse_length(text: str) -> Fraction | None:
    """An `L:` field, in quarters."""
    found = re.match(r"\s*([0-9]{1,3})(?:\s*/\s*([0-9]{1,3}))?", text)
    if found is None or int(found[2] or 1) == 0 or int(found[1]) == 0:
        return None
    return Fraction(4 * int(found[1]), int(found[2] or 1))


def default_length(meter: tuple[int, int] | None) -> Fraction:
    """A sixteenth below 3/4, else an eighth, in quarters."""
    small = meter is not None and meter[1] > 0 and Fraction(meter[0], meter[1]) < Fraction(3, 4)
    return Fraction(1, 4) if small else Fraction(1, 2)


def parse_tempo(text: str, length: Fraction) -> Fraction | None:
    """A `Q:` field in quarters a minute; a bare number counts units of length (older standard)."""
    plain = re.sub(r'"[^"]*"', "", text)
    found = re.search(r"((?:[0-9]{1,2}/[0-9]{1,2}\s*)+)=\s*([0-9]{1,4})", plain)
    if found is not None:
        parts = [part.split("/") for part in found[1].split()]
        unit = sum((Fraction(int(a), int(b)) for a, b in parts if int(b)), Fraction(0))
        return 4 * unit * int(found[2]) or None
    bare = re.search(r"(?:C[0-9]?\s*=\s*)?([0-9]{1,4})\s*$", plain)
    return length * int(bare[1]) or None if bare else None


def times(text: str) -> Fraction:
    """`3`, `/2`, `3/4`, `//`: how many units of length; 1 for nothing and for nonsense."""
    upper, stroke, lower = text.partition("/")
    strokes = 1 + lower.count("/") if stroke else 0
    digits = lower.replace("/", "")
    below = int(digits[:4]) if digits else 2 ** min(strokes, 10)
    above = int(upper[:4]) if upper else 1
    return Fraction(above, below) if above and below else Fraction(1)
