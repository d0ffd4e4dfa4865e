"""Header lines and what they mean. The keys are listed in `docs/tune-file.md`."""

from __future__ import annotations

import re
from collections.abc import Callable
from difflib import get_close_matches
from fractions import Fraction
from itertools import pairwise
from typing import TypeVar

from reedwright.errors import Problem, TuneError
from reedwright.harp.harp import Harp, parse_harp_name
from reedwright.harp.note import Breath
from reedwright.harp.pitch import harp_key, pitch_class, shown
from reedwright.harp.position import parse_position, position_key, position_of
from reedwright.harp.temperament import EQUAL, Temperament, read_temperament, temperament_named
from reedwright.harp.tuning import Tuning, read_tuning, tuning_named
from reedwright.tune.form import Form, parse_form
from reedwright.tune.meter import TEMPO_LIMITS_BPM, Feel, Meter, parse_feel, parse_meter
from reedwright.tune.reading import Reading
from reedwright.tune.techniques import abilities, ladder
from reedwright.tune.values import Header, TuneText

KEYS = (
    "Title", "By", "School", "Rights", "Harp", "Tuning", "Temperament", "A4", "Position", "Key",
    "Meter", "Feel", "Tempo", "Count-in", "Form", "Student", "Can", "Not yet", "Tab", "Lungs",
)  # fmt: skip
MAX_TITLE = 200
MAX_TEMPOS = 12

Neighbour = Callable[[str], str]
"""Gives the text of a file that lies beside the tune; raises FileError."""

T = TypeVar("T")
_NONE: frozenset[str] = frozenset()


class HeaderReader:
    """Reads the header's values, each with a default, and notes what is wrong with them."""

    def __init__(self, text: TuneText, reading: Reading, neighbour: Neighbour) -> None:
        self._reading = reading
        self._neighbour = neighbour
        self._given: dict[str, Header] = {}
        known = {key.lower(): key for key in KEYS}
        for header in (item for item in text.head if isinstance(item, Header)):
            key = known.get(header.key.lower())
            if key is None:
                self._unknown(header)
            elif key in self._given:
                reading.add(
                    header.line,
                    1,
                    f"{key} stands twice in the header",
                    f"It was given in line {self._given[key].line}",
                    "keep one of the two",
                )
            else:
                self._given[key] = header

    def _unknown(self, header: Header) -> None:
        close = get_close_matches(header.key.title(), KEYS, n=1)
        self._reading.add(
            header.line,
            1,
            f"unknown header {shown(header.key)}",
            f"Headers are {', '.join(KEYS)}",
            f"did you mean {close[0]}?" if close else "write it as a # comment",
        )

    @property
    def lines(self) -> dict[str, int]:
        """Line of each header given."""
        return {key: header.line for key, header in self._given.items()}

    def words(self, key: str, required: bool = False) -> str:
        header = self._given.get(key)
        if (header is None or not header.value) and required:
            self._reading.add(
                header.line if header else 1,
                1,
                f"no {key}",
                f"Every tune has a `{key}:` line",
                f"add `{key}: …` at the top",
            )
        return header.value if header else ""

    def value(self, key: str, read: Callable[[str], T], default: T) -> T:
        header = self._given.get(key)
        if header is None:
            return default
        return self._reading.attempt(
            lambda: read(header.value), header.line, header.column, default
        )

    def title(self) -> str:
        title = self.words("Title", required=True)
        if len(title) > MAX_TITLE:
            header = self._given["Title"]
            self._reading.add(
                header.line,
                header.column,
                f"a title of {len(title)} characters",
                f"A title has at most {MAX_TITLE}",
            )
        return title[:MAX_TITLE]

    def harp(self) -> Harp:
        self.words("Harp", required=True)
        key, variant = self.value("Harp", parse_harp_name, parse_harp_name("C"))
        default = tuning_named("richter")
        tuning = self.value("Tuning", lambda text: self._tuning(text, key), default)
        temperament = self.value("Temperament", self._temperament, EQUAL)
        plain = Harp(key, tuning, variant, temperament)
        return self.value(
            "A4", lambda text: Harp(key, tuning, variant, temperament, _hertz(text)), plain
        )

    def _tuning(self, text: str, key: str) -> Tuning:
        if text.lower().endswith(".toml"):
            return read_tuning(self._neighbour(text), text)
        name, *changes = (piece.strip() for piece in text.split(","))
        tuning = tuning_named(name, key)
        for change in changes:
            tuning = _with_reed(tuning, change, key)
        return tuning

    def _temperament(self, text: str) -> Temperament:
        if text.lower().endswith(".toml"):
            return read_temperament(self._neighbour(text), text)
        return temperament_named(text)

    def position(self, harp: Harp) -> int:
        key = self.value("Key", lambda text: position_of(harp, _plain_key(text)), 0)
        if "Position" not in self._given and not key:
            self.words("Position", required=True)
        position = self.value("Position", parse_position, key or 1)
        if key and key != position:
            header = self._given["Key"]
            gives = harp_key(position_key(harp, position))
            self._reading.add(
                header.line,
                header.column,
                f"Key {header.value} with position {position}",
                f"A {harp.name} harp in position {position} gives {gives}",
                "mend the harp, the position or the key, or leave `Key` out",
            )
        return position

    def meter(self) -> Meter:
        return self.value("Meter", parse_meter, Meter())

    def feel(self, meter: Meter) -> Feel:
        feel = self.value("Feel", parse_feel, Feel())
        if meter.compound and feel != Feel():
            header = self._given["Feel"]
            self._reading.add(
                header.line,
                header.column,
                f"{feel.name} in {meter}",
                "A beat of a compound meter has its triplets written, it does not swing",
                "write Feel: straight, or use 4/4",
            )
        return feel

    def form(self, key: int, meter: Meter) -> Form:
        return self.value("Form", lambda text: parse_form(text, key, meter), Form())

    def tempos(self) -> tuple[Fraction, ...]:
        return self.value("Tempo", parse_tempos, (Fraction(100),))

    def count_in(self) -> int:
        return self.value("Count-in", _count_in, 1)

    def signed(self) -> bool:
        return self.value("Tab", parse_notation, False)

    def abilities(self) -> frozenset[str]:
        level = self.words("Student").lower() or ladder().levels[-1]
        have = self.value("Student", lambda _: abilities(level), abilities(ladder().levels[-1]))
        if not self.words("Student") and "Can" in self._given:
            have = frozenset()
        have |= self.value("Can", lambda text: _techniques(text, needs=True), _NONE)
        return have - self.value("Not yet", lambda text: _techniques(text, needs=False), _NONE)

    def lungs(self) -> tuple[tuple[str, str], ...]:
        return self.value("Lungs", _settings, ())


def _plain_key(text: str) -> str:
    words = text.split()
    return words[0] if words and words[1:] in ([], ["minor"], ["major"]) else text


def _with_reed(tuning: Tuning, change: str, key: str) -> Tuning:
    match = re.fullmatch(r"([0-9]{1,2})([bd])\s+([A-Ga-g][#b♯♭]?)", change)
    if match is None or not 1 <= int(match[1]) <= tuning.holes:
        raise _bad(
            f"cannot read {shown(change)}",
            "After a tuning come single reeds and their notes",
            "write it like `Richter, 3b A, 5d F#`",
        )
    hole, breath = int(match[1]), Breath(match[2])
    first = pitch_class(key) - 7 * (tuning.label_position - 1)
    offset = tuning.offset(hole, breath)
    move = (pitch_class(match[3]) - first - offset + 6) % 12 - 6  # the nearest such note
    return tuning.with_reed(hole, breath, offset + move)


def _hertz(text: str) -> float:
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
        raise _bad(found, f"Up to {MAX_TEMPOS} tempos, each from {low} to {high} beats a minute")
    if any(later <= earlier for earlier, later in pairwise(tempos)):
        raise _bad(
            f"tempos {shown(text)}", "Tempos go from slow to full, each once", "put them in order"
        )
    return tempos


def _count_in(text: str) -> int:
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


def _techniques(text: str, needs: bool) -> frozenset[str]:
    names = [piece for piece in text.split(",") if piece.strip()]
    found = frozenset(ladder().named(name) for name in names)
    return ladder().with_needs(found) if needs else found


def _settings(text: str) -> tuple[tuple[str, str], ...]:
    pairs: list[tuple[str, str]] = []
    for piece in text.split(","):
        words = piece.split()
        if len(words) < 2:
            raise _bad(
                f"cannot read {shown(piece.strip())}",
                "A setting is a name and a number",
                "write it like `start 2.0, vital capacity 4.2`",
            )
        pairs.append((" ".join(words[:-1]).lower(), words[-1]))
    return tuple(pairs)


def _bad(found: str, rule: str, mend: str = "") -> TuneError:
    return TuneError(Problem(found=found, rule=rule, mend=mend))
