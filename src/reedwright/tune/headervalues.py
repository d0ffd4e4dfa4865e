"""What single header values mean, each read from its own text. Errors: TuneError, HarpError.

The keys are listed in `docs/tune-file.md`. Numbers have few figures, so that no line makes a
huge one.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction
from itertools import pairwise

from reedwright.errors import InputError, Problem, TuneError
from reedwright.harp.note import Breath
from reedwright.harp.pitch import pitch_class, shown
from reedwright.harp.tuning import Tuning
from reedwright.tables import table_text
from reedwright.tune.meter import TEMPO_LIMITS_BPM
from reedwright.tune.reading import nearest
from reedwright.tune.techniques import ladder

MAX_TEMPOS = 12
"""Steps from slow to full; more would not fit a line of the sheet (from memory)."""

Settings = tuple[tuple[str, str], ...]
"""Names and numbers of the player's breath, as written."""

Judge = Callable[[Settings], tuple[Problem, ...]]
"""Says what is wrong with settings that a later room knows, so that a file is mended in one go."""

_KEY = re.compile(r"([A-Ga-g][#b♯♭]?)(m| minor| major)?", re.IGNORECASE)


def parse_key(text: str) -> tuple[str, bool | None]:
    """A key and whether it is minor, None where nothing is said: `E`, `A minor`, `Am`."""
    match = _KEY.fullmatch(text)
    if match is None:
        pitch_class(text.partition(" ")[0])  # says what a key is, when it is not even that
        raise _bad(
            f"unknown key {shown(text)}", "A key is a note, minor or major", "write it like E or Am"
        )
    mode = (match[2] or "").strip().lower()
    return match[1][0].upper() + match[1][1:], {"": None, "major": False}.get(mode, True)


def with_reed(tuning: Tuning, change: str, key: str) -> Tuning:
    """A tuning with one reed changed: `3b A` is the A nearest to what hole 3 blow was."""
    match = re.fullmatch(r"([0-9]{1,2})([bd])\s+([A-Ga-g][#b♯♭]?)", change)
    if match is None or not 1 <= int(match[1]) <= tuning.holes:
        raise _bad(
            f"cannot read {shown(change)}",
            f"After a tuning come single reeds and their notes; this harp has {tuning.holes} holes",
            "write it like `Richter, 3b A, 5d F#`",
        )
    hole, breath = int(match[1]), Breath(match[2])
    first = pitch_class(key) - 7 * (tuning.label_position - 1)
    offset = tuning.offset(hole, breath)
    move = (pitch_class(match[3]) - first - offset + 6) % 12 - 6  # the nearest such note
    return tuning.with_reed(hole, breath, offset + move)


def parse_hertz(text: str) -> float:
    """`440`, `442 Hz`."""
    match = re.fullmatch(r"([0-9]{2,4}(?:\.[0-9]{1,3})?)(?:\s*hz)?", text.lower())
    if match is None:
        raise _bad(f"A4 {shown(text)}", "A4 is a frequency in hertz", "write it like 440 or 442")
    return float(match[1])


def parse_tempos(text: str) -> tuple[Fraction, ...]:
    """`60, 80, 104`: counted beats a minute from slow to full. Errors: TuneError."""
    low, high = TEMPO_LIMITS_BPM
    pieces = [piece.strip() for piece in text.split(",")]
    if not all(re.fullmatch(r"[0-9]{1,4}(\.[0-9]{1,3})?", piece) for piece in pieces):
        raise _bad(
            f"tempo {shown(text)}",
            "Tempos are numbers of counted beats a minute",
            "write them like 60, 80, 104",
        )
    tempos = tuple(Fraction(piece) for piece in pieces)
    outside = [piece for piece in tempos if not low <= piece <= high]
    if outside or len(tempos) > MAX_TEMPOS:
        found = f"tempo {float(outside[0]):g}" if outside else f"{len(tempos)} tempos"
        rule = f"Up to {MAX_TEMPOS} tempos, each from {low} to {high} beats a minute"
        raise _bad(found, rule, "write them like 60, 80, 104")
    if any(later <= earlier for earlier, later in pairwise(tempos)):
        raise _bad(
            f"tempos {shown(text)}", "Tempos go from slow to full, each once", "put them in order"
        )
    return tempos


def parse_count_in(text: str) -> int:
    """`1`, `2 bars`, `one bar`."""
    match = re.fullmatch(r"([12]|one|two)(?: bars?)?", text.lower())
    if match is None:
        raise _bad(
            f"count-in {shown(text)}", "A count-in is one or two bars", "write `Count-in: 2 bars`"
        )
    return 2 if match[1] in ("2", "two") else 1


def parse_notation(text: str) -> bool:
    """Whether tab is written with signs: `signed`, not `letters`. Errors: TuneError."""
    if text.lower() not in ("signed", "letters"):
        raise _bad(
            f"tab {shown(text)}",
            "Tab is written in letters (4d) or signed (-4)",
            "write `Tab: signed`, or leave the line out",
        )
    return text.lower() == "signed"


def parse_techniques(text: str) -> frozenset[str]:
    """Ids of techniques named in a list. Errors: TuneError with every name unknown."""
    found: set[str] = set()
    problems: list[Problem] = []
    for name in filter(None, (piece.strip() for piece in text.split(","))):
        try:
            found.add(ladder().named(name))
        except InputError as error:
            problems += error.problems
    if problems:
        raise TuneError(tuple(problems))
    return frozenset(found)


def parse_band(text: str) -> str:
    """A style of the band, one of those its rules name. Errors: TuneError."""
    rules, _ = table_text("band.toml")
    styles = re.findall(r"^[ \t]*\[[ \t]*style\.[\"']?([^\"'\]\s.]+)", rules, re.MULTILINE)
    names = list(dict.fromkeys(styles))
    plain = text.lower()
    if plain in names or not names:  # faults of the rules themselves are told where they are used
        return plain
    close = nearest(plain, names)
    raise _bad(
        f"unknown style of the band {shown(text)}",
        f"Styles are {', '.join(names)}",
        f"did you mean {close}?" if close else "write one of them, or leave the line out",
    )


def parse_settings(text: str, judge: Judge = lambda _: ()) -> Settings:
    """Names and numbers, as written: `start 2.0, vital capacity 4.2`. Errors: TuneError with every
    piece that cannot be read and what `judge` finds in the others."""
    pairs: list[tuple[str, str]] = []
    problems: list[Problem] = []
    for piece in text.split(","):
        words = piece.split()
        if len(words) < 2 or re.fullmatch(r"[0-9]{1,3}(\.[0-9]{1,6})?", words[-1]) is None:
            found = f"cannot read {shown(piece.strip())}"
            mend = "write it like `start 2.0, vital capacity 4.2`"
            problems.append(Problem(found, "A setting is a name and a number", mend))
        else:
            pairs.append((" ".join(words[:-1]).lower(), words[-1]))
    problems += judge(tuple(pairs))
    if problems:
        raise TuneError(tuple(problems))
    return tuple(pairs)


def _bad(found: str, rule: str, mend: str = "") -> TuneError:
    return TuneError(Problem(found=found, rule=rule, mend=mend))
