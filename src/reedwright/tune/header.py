"""Header lines and what they mean. The keys are listed in `docs/tune-file.md`."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from typing import TypeVar
from unicodedata import category

from reedwright.harp.harp import Harp, harp_named
from reedwright.harp.pitch import harp_key, shown
from reedwright.harp.position import parse_position, position_key, position_of
from reedwright.harp.temperament import EQUAL, Temperament, read_temperament, temperament_named
from reedwright.harp.tuning import Tuning, read_tuning, tuning_named
from reedwright.tune.form import Form, parse_form
from reedwright.tune.headervalues import (
    Judge,
    Settings,
    parse_band,
    parse_count_in,
    parse_hertz,
    parse_key,
    parse_notation,
    parse_settings,
    parse_techniques,
    parse_tempos,
    with_reed,
)
from reedwright.tune.meter import Feel, Meter, parse_feel, parse_meter
from reedwright.tune.reading import Reading
from reedwright.tune.techniques import ladder
from reedwright.tune.values import Header, TuneText

KEYS = (
    "Title", "By", "School", "Rights", "Harp", "Tuning", "Temperament", "A4", "Position", "Key",
    "Meter", "Feel", "Tempo", "Count-in", "Form", "Student", "Can", "Not yet", "Tab", "Lungs",
    "Band",
)  # fmt: skip
MAX_TITLE = 200
"""Characters of a title, a name or a notice of rights; two lines of a sheet."""

Neighbour = Callable[[str], str]
"""Gives the text of a file that lies beside the tune; raises TuneError."""

T = TypeVar("T")
_VISIBLE = "LNPS"
"""Letters, numbers, punctuation and symbols: the kinds of characters (Unicode) that print alone."""

_NONE: frozenset[str] = frozenset()
_NO_KEY: tuple[str, bool | None] = ("", None)
MAX_VALUE = 3900
"""Characters of a header value, all its lines together; it must fit a line when written."""

KEYS_BY_SMALL = {key.lower(): key for key in KEYS}
"""However they are written, capitals and all."""


@dataclass(frozen=True, slots=True)
class Home:
    """Where the tune is at home: its position, and what the file says of its mode, if anything."""

    position: int
    minor: bool | None


class HeaderReader:
    """Reads the header's values, each with a default, and notes what is wrong with them."""

    def __init__(
        self, text: TuneText, reading: Reading, neighbour: Neighbour, judge: Judge
    ) -> None:
        self._reading = reading
        self._neighbour = neighbour
        self._judge = judge
        self._given: dict[str, Header] = {}
        self._empty: set[str] = set()  # there, but with a value that is a fault already
        self._meant: set[str] = set()  # what misspelt headers most likely are
        for header in text.head:
            if isinstance(header, Header):
                self._take(header)

    def _take(self, header: Header) -> None:
        key = KEYS_BY_SMALL.get(header.key.lower())
        if key is None:
            self._unknown(header)
        elif key in self._given or key in self._empty:
            earlier = f" in line {self._given[key].line}" if key in self._given else ""
            found, rule = f"{key} stands twice in the header", f"It was given before{earlier}"
            self._reading.add(header.line, 1, found, rule, "keep one of the two")
        elif len(header.value) > MAX_VALUE:
            self._empty.add(key)  # told when its lines were read
        elif header.value:
            self._given[key] = header
        else:
            self._empty.add(key)
            found, rule = f"nothing after {key}", "A header line is `Key: value`"
            mend = "write a value, or delete the line"
            self._reading.add(header.line, header.column, found, rule, mend)

    def _unknown(self, header: Header) -> None:
        close = get_close_matches(header.key.lower(), KEYS_BY_SMALL, n=1)
        self._meant.update(KEYS_BY_SMALL[key] for key in close)
        self._reading.add(
            header.line,
            1,
            f"unknown header {shown(header.key)}",
            f"Headers are {', '.join(KEYS)}",
            f"did you mean {KEYS_BY_SMALL[close[0]]}?" if close else "write it as a # comment",
        )

    @property
    def lines(self) -> dict[str, int]:
        """Line of each header given."""
        return {key: header.line for key, header in self._given.items()}

    def _need(self, key: str, *others: str) -> None:
        """Note that a header is missing, and others that would do."""
        if any(self._is_there(one) for one in (key, *others)):
            return
        rule, mend = f"Every tune has a `{key}:` line", f"add `{key}: …` at the top"
        mend += "".join(f", or `{other}: …`" for other in others)
        self._reading.add(1, 1, f"no {key}", rule, mend)

    def _is_there(self, key: str) -> bool:
        return key in self._given or key in self._empty or key in self._meant

    def title(self) -> str:
        self._need("Title")
        return self.words("Title")

    def words(self, key: str) -> str:
        """A value in free words, at most MAX_TITLE characters."""
        header = self._given.get(key)
        if header is None:
            return ""
        if not any(category(sign)[0] in _VISIBLE for sign in header.value):
            found, rule = f"nothing to be seen after {key}", "It has a letter, figure or sign"
            self._reading.add(header.line, header.column, found, rule, "write it anew")
        if len(header.value) > MAX_TITLE:
            found = f"{key} has {len(header.value)} characters"
            rule = f"It has at most {MAX_TITLE}"
            self._reading.add(header.line, header.column, found, rule, "shorten it")
        return header.value[:MAX_TITLE]

    def value(self, key: str, read: Callable[[str], T], default: T) -> T:
        header = self._given.get(key)
        if header is None:
            return default
        return self._reading.attempt(
            lambda: read(header.value), header.line, header.column, default
        )

    def harp(self) -> Harp:
        """The harp; `Harp: A natural minor` needs no `Tuning` line."""
        self._need("Harp")
        tuning_apart = "Richter" if "Tuning" in self._given else ""
        named = self.value("Harp", lambda text: harp_named(text, tuning_apart), harp_named("C"))
        key, variant = named.key, named.variant
        tuning = self.value("Tuning", lambda text: self._tuning(text, key), named.tuning)
        temperament = self.value("Temperament", self._temperament, EQUAL)
        whole = self.value(
            "Tuning" if "Tuning" in self._given else "Harp",
            lambda _: Harp(key, tuning, variant, temperament),
            named,
        )
        return self.value(
            "A4",
            lambda text: Harp(key, whole.tuning, variant, temperament, parse_hertz(text)),
            whole,
        )

    def _tuning(self, text: str, key: str) -> Tuning:
        if text.lower().endswith(".toml"):
            return read_tuning(self._neighbour(text), text)
        name, *changes = (piece.strip() for piece in text.split(","))
        tuning = tuning_named(name, key)
        for change in changes:
            tuning = with_reed(tuning, change, key)
        return tuning

    def _temperament(self, text: str) -> Temperament:
        if text.lower().endswith(".toml"):
            return read_temperament(self._neighbour(text), text)
        return temperament_named(text)

    def home(self, harp: Harp) -> Home:
        """Position and key, of which one is enough; where both are given they must agree."""
        key, minor = self.value("Key", parse_key, _NO_KEY)
        self._need("Position", "Key")
        by_key = position_of(harp, key) if key else 1
        position = self.value("Position", parse_position, by_key)
        if key and by_key != position:
            gives = harp_key(position_key(harp, position))
            self._key_problem(
                f"key {key} with position {position}",
                f"This harp gives {gives} in position {position}",
                "mend the harp, the position or the key, or leave `Key` out",
            )
        return Home(position, minor)

    def check_mode(self, home: Home, form: Form, key: int) -> None:
        """Note a key said to be minor over a form that is major, or the other way round."""
        if home.minor is not None and form.has_home(key) and form.is_minor(key) != home.minor:
            said, found = ("minor", "major") if home.minor else ("major", "minor")
            self._key_problem(
                f"a {said} key over a form whose home chord is {found}",
                "Key and form tell one story",
                "mend one of the two, or leave the word out of `Key`",
            )

    def _key_problem(self, found: str, rule: str, mend: str) -> None:
        header = self._given["Key"]
        self._reading.add(header.line, header.column, found, rule, mend)

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
        return self.value("Count-in", parse_count_in, 1)

    def band(self) -> str:
        return self.value("Band", parse_band, "")

    def signed(self) -> bool:
        return self.value("Tab", parse_notation, False)

    def student(self) -> str:
        header = self._given.get("Student")
        return header.value.lower() if header else ""

    def abilities(self) -> frozenset[str]:
        """What the student can do: a level, or everything; only what `Can` lists, if no level."""
        steps = ladder()
        everything = steps.of_level(steps.levels[-1])
        have = self.value("Student", lambda text: steps.of_level(text.lower()), everything)
        if "Student" not in self._given and "Can" in self._given:
            have = _NONE
        have |= steps.with_needs(self.value("Can", parse_techniques, _NONE))
        return have - steps.needing(self.value("Not yet", parse_techniques, _NONE))

    def lungs(self) -> Settings:
        return self.value("Lungs", lambda text: parse_settings(text, self._judge), ())
