"""Chord symbols as MusicXML `harmony`.

Conventions: the kind's `text` is what a reader prints, our own quality; alterations the kind does
not hold follow as degrees, not printed again. Source of the kinds: MusicXML 4.0, `kind-value`.
"""

from __future__ import annotations

from functools import lru_cache

from reedwright.sheet.notevalue import KEPT
from reedwright.sheet.spelling import spelled
from reedwright.sheet.xmlwriter import escaped
from reedwright.tune.chords import Chord

_KINDS = {
    "": "major",
    "m": "minor",
    "5": "power",
    "6": "major-sixth",
    "m6": "minor-sixth",
    "7": "dominant",
    "m7": "minor-seventh",
    "maj7": "major-seventh",
    "9": "dominant-ninth",
    "m9": "minor-ninth",
    "13": "dominant-13th",
    "7#9": "dominant",
    "sus4": "suspended-fourth",
    "7sus4": "suspended-fourth",
    "dim": "diminished",
    "dim7": "diminished-seventh",
    "m7b5": "half-diminished",
    "aug": "augmented",
    "7#5": "augmented-seventh",
}
_ADDED = {"7#9": ((9, 1),), "7sus4": ((7, 0),)}
"""Quality: (degree, semitones), counted as `degree-alter` is: from a dominant's own degrees."""


@lru_cache(maxsize=KEPT)
def harmony(chord: Chord, fifths: int, offset: int = 0) -> str:
    """A chord symbol, `offset` ticks after the note it stands before."""
    step, alter, _ = spelled(60 + chord.root, fifths, False, False)
    altered = f"<root-alter>{alter}</root-alter>" if alter else ""
    degrees = "".join(
        f'<degree print-object="no"><degree-value>{degree}</degree-value>'
        f"<degree-alter>{by}</degree-alter><degree-type>add</degree-type></degree>"
        for degree, by in _ADDED.get(chord.quality, ())
    )
    after = f"<offset>{offset}</offset>" if offset else ""
    return (
        f'<harmony placement="above"><root><root-step>{step}</root-step>{altered}</root>'
        f'<kind text="{escaped(chord.quality)}">{_KINDS[chord.quality]}</kind>'
        f"{degrees}{after}</harmony>\n"
    )
