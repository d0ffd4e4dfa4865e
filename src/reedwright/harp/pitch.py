"""Names of pitches and keys.

Conventions: MIDI numbers, middle C = C4 = 60; pitch classes 0–11 from C. Frequency in hertz by
f = a4_hz · 2^((midi − 69)/12) (MIDI Tuning Standard); cents are hundredths of an equal-tempered
semitone. Sharps and flats may be written `#` or `b`, or as the real signs.
"""

from __future__ import annotations

import re

from reedwright.errors import HarpError, Problem

KEYS = ("G", "Ab", "A", "Bb", "B", "C", "Db", "D", "Eb", "E", "F", "F#")
"""The twelve harp keys from low to high in the usual register (common practice)."""

_LETTERS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
_KEY_PATTERN = re.compile(r"([A-Ga-g])([#b♯♭]?)")
_PITCH_PATTERN = re.compile(r"([A-Ga-g])([#b♯♭]{0,2})(-?[0-9]{1,2})")
_HARP_NAME = {0: "C", 1: "Db", 2: "D", 3: "Eb", 4: "E", 5: "F", 6: "F#", 7: "G"}
_HARP_NAME |= {8: "Ab", 9: "A", 10: "Bb", 11: "B"}

# Fifths above C of each pitch class, which are the sharps (+) or flats (−) of its major key. Of the
# six-sharp and six-flat keys that tie, F# is taken, the name harps are sold under. Read from a key
# note instead of C, the same row names the degrees 1 b2 2 b3 3 4 #4 5 b6 6 b7 7 (common practice).
_FIFTHS = {0: 0, 1: -5, 2: 2, 3: -3, 4: 4, 5: -1, 6: 6, 7: 1, 8: -4, 9: 3, 10: -2, 11: 5}


def pitch_class(key: str) -> int:
    """The pitch class 0–11 of a key name such as `A`, `Bb`, `F#` (any enharmonic spelling).

    >>> pitch_class("F#") == pitch_class("Gb")
    True
    """
    match = _KEY_PATTERN.fullmatch(key.strip())
    if match is None:
        raise HarpError(
            Problem(
                found=f"unknown key {shown(key)}",
                rule="A key is a letter A to G, with # or b where needed",
                mend=f"write one of {', '.join(KEYS)}",
            )
        )
    return (_LETTERS[match[1].upper()] + _accidental(match[2])) % 12


def harp_key(pitch_class_number: int) -> str:
    """The name a harp in this key is sold under (`Db`, not `C#`; `F#`, not `Gb`)."""
    return _HARP_NAME[pitch_class_number % 12]


def parse_pitch(name: str) -> int:
    """MIDI number of a pitch such as `C4`, `Bb3`, `F#5`; C4 is 60."""
    match = _PITCH_PATTERN.fullmatch(name.strip())
    midi = -1
    if match is not None:
        midi = 12 * (int(match[3]) + 1) + _LETTERS[match[1].upper()] + _accidental(match[2])
    if not 0 <= midi <= 127:
        raise HarpError(
            Problem(
                found=f"{shown(name)} is not a pitch",
                rule="A pitch is a letter A to G, # or b where needed, and its octave",
                mend="write it like C4 (middle C), Bb3 or F#5",
            )
        )
    return midi


def _accidental(signs: str) -> int:
    return sum(1 if sign in "#♯" else -1 for sign in signs)


def fifths_of(key: str, minor: bool = False) -> int:
    """Sharps (positive) or flats (negative) in the key signature, −6 … 6 (Eb minor: −6)."""
    fifths = _FIFTHS[(pitch_class(key) + (3 if minor else 0)) % 12]
    return -6 if minor and fifths == 6 else fifths


def spell(midi: int, fifths: int = 0, minor: bool = False, flat_five: bool = False) -> str:
    """A pitch name as the key signature and its key note have it: the scale's own notes, and
    b2, b3, #4 (`flat_five`: b5), b6, b7 between them; never Cb, Fb or a double sign outside it.

    >>> spell(66), spell(66, flat_five=True), spell(61, -1, minor=True), spell(77, 6)
    ('F#4', 'Gb4', 'C#4', 'E#5')
    """
    home = fifths + 3 * minor
    degree = (midi - 7 * home) % 12
    step = -6 if flat_five and degree == 6 else _FIFTHS[degree]
    place = home + step
    if not fifths - 1 <= place <= fifths + 5:  # not in the scale: prefer the plainer name
        place += 12 * (place < -6) - 12 * (place > 10)
    letter = "FCGDAEB"[(place + 1) % 7]
    sign = (place + 1) // 7
    octave = (midi - sign) // 12 - 1
    return f"{letter}{'#' * sign if sign > 0 else 'b' * -sign}{octave}"


def frequency_hz(midi: float, a4_hz: float = 440.0) -> float:
    """Equal-tempered frequency in hertz of a (possibly fractional) MIDI number."""
    return float(a4_hz * 2.0 ** ((midi - 69.0) / 12.0))


def real_signs(name: str) -> str:
    """A pitch, chord or degree (no words) with the signs of print: `Bb4` gives `B♭4`."""
    return name.replace("b", "♭").replace("#", "♯")


def shown(text: str, limit: int = 40) -> str:
    """Quote what the user wrote for an error: printable, and cut where it would flood a screen."""
    printable = "".join(char if char.isprintable() else "�" for char in text[: limit + 1])
    return repr(printable if len(printable) <= limit else printable[:limit] + "…")
