"""Lines that name a lick: borrowed bars in a lick, and where a chorus places what.

`3-4: as Call, bars 1-2` and `5 Answer, from bar 1, to bar 2 beat 3, 2 times`. Grammar in
`docs/tune-file.md`. Numbers have at most five figures, so that no line makes a huge one.
"""

from __future__ import annotations

import re
from collections.abc import Container
from dataclasses import replace

from reedwright.harp.pitch import shown
from reedwright.tune.reading import Reading
from reedwright.tune.values import Borrow, Entry, slug

MAX_NAME = 60
MAX_TIMES = 999

_NAME = re.compile(r"[^\W_][^,()|:{}#>]*")
_AS = re.compile(
    r"as\s++([^,]++)(?:,\s*+bars?\s++([0-9]{1,5})\s*+(?:[-–]\s*+([0-9]{1,5})\s*+)?)?", re.IGNORECASE
)
_ENTRY = re.compile(r"([0-9]{1,5})(?:\s*+:\s*+|\s++)([^,]++)(,.*)?")
_FROM = re.compile(r"from bar ([0-9]{1,5})(?: beat ([0-9]{1,2}))?")
_TO = re.compile(r"to bar ([0-9]{1,5})(?: beat ([0-9]{1,2}))?")
_ONLY = re.compile(r"bars? ([0-9]{1,5})(?: ?[-–] ?([0-9]{1,5}))?")
_CLAUSE = re.compile(
    r"\s+((?:from|to)\s+bar\s+[0-9]{1,5}(?:\s+beat\s+[0-9]{1,2})?"
    r"|bars?\s+[0-9]{1,5}(?:\s?[-–]\s?[0-9]{1,5})?|[0-9]{1,5}\s+(?:times?|bars?)|twice)(?!\S)",
    re.IGNORECASE,
)
_TIMES = re.compile(r"([0-9]{1,5}) times?|(twice)")
_BARS = re.compile(r"([0-9]{1,5}) bars?")


def read_name(name: str, line: int, column: int, reading: Reading) -> str:
    """The name of a lick, its spaces made even."""
    plain = " ".join(name.split())
    fits = _NAME.fullmatch(plain) is not None and plain.isprintable()
    if not fits or len(plain) > MAX_NAME or plain.lower() == "rest":
        reading.add(
            line,
            column,
            f"{shown(plain)} is not the name of a lick" if plain else "a lick without a name",
            f"A name begins with a letter or figure, has at most {MAX_NAME} characters "
            "and none of , ( ) | : { } # >; `rest` is taken",
            "write a plain short name, like Call or Turn 2",
        )
        return ""
    return plain


def read_borrow(
    ends: tuple[int, int], text: str, at: tuple[int, int, int], reading: Reading
) -> Borrow | None:
    """Borrowed bars from `as Call, bars 1-2`; `at` is the line, its column and the text's."""
    line, column, text_column = at
    match = _AS.fullmatch(text)
    if match is None:
        reading.add(
            line,
            text_column,
            f"cannot read {shown(text)}",
            "After several bar numbers comes what they borrow; cells are written bar by bar",
            "write it like `3-4: as Call` or `3-4: as Call, bars 1-2`",
        )
        return None
    lick, first, last = match.groups()
    name = read_name(lick, line, text_column + match.start(1), reading)
    if not name:
        return None
    other_first = int(first) if first else None
    other_last = int(last) if last else other_first
    return reading.attempt(
        lambda: Borrow(*ends, name, other_first, other_last, line, column), line, column, None
    )


def read_entry(text: str, line: int, column: int, reading: Reading) -> Entry | None:
    """One line of a chorus."""
    match = _ENTRY.fullmatch(text)
    if match is None:
        reading.add(
            line,
            column,
            f"cannot read {shown(text)}",
            "In a chorus, lines are a bar and a lick",
            "write it like `1 Call` or `5 Answer, from bar 1`",
        )
        return None
    rest = match[2].strip().lower() == "rest"
    name = "" if rest else read_name(match[2], line, column + match.start(2), reading)
    if not rest and not name:
        return None
    entry = Entry(bar=int(match[1]), lick=name, line=line, column=column)
    at = column + match.start(3) + 1
    for clause in match[3][1:].split(",") if match[3] else ():
        place = at + len(clause) - len(clause.lstrip())
        entry = _clause(entry, " ".join(clause.lower().split()), place, reading)
        at += len(clause) + 1
    return entry


def _clause(entry: Entry, clause: str, column: int, reading: Reading) -> Entry:
    changes = _times(clause, entry.is_rest) or ({} if entry.is_rest else _cut(clause))
    if not changes:
        reading.add(
            entry.line,
            column,
            f"cannot read {shown(clause)}",
            *(_REST_RULE if entry.is_rest else _LICK_RULE),
        )
        return entry
    if any(getattr(entry, key) != getattr(_PLAIN, key) for key in changes):
        reading.add(
            entry.line,
            column,
            f"{shown(clause)} after another word for the same",
            "Where a lick begins, where it ends and how often it is played are each said once",
            "keep one of the two",
        )
        return entry
    if not 1 <= changes.get("times", 1) <= MAX_TIMES:
        rule = f"1 to {MAX_TIMES} can be written"
        mend = "write a number in between, or a line more"
        reading.add(entry.line, column, f"cannot read {shown(clause)}", rule, mend)
        return entry
    return reading.attempt(lambda: replace(entry, **changes), entry.line, column, entry)  # type: ignore[arg-type]


def with_commas(words: str, names: Container[str]) -> str:
    """`Answer, from bar 1` for `Answer from bar 1`; empty where no lick begins the words, or no
    clause follows. `names` are slugs of licks."""
    mended = _CLAUSE.sub(r", \1", words)
    name, comma, _ = mended.partition(", ")
    known = name.lower() == "rest" or slug(name) in names
    whole = known and all(map(_CLAUSE.fullmatch, mended.split(",")[1:]))
    return mended if comma and whole else ""


_PLAIN = Entry(1, "x")
_LICK_RULE = (
    "After a lick come `from bar N`, `to bar N` (`beat N` may follow), `bars N-M` or `N times`",
    "write it like `5 Answer, from bar 1` or `3 Train, 2 times`",
)
_REST_RULE = ("After a rest comes how many bars it lasts", "write it like `9 rest, 4 bars`")


def _times(clause: str, is_rest: bool) -> dict[str, int]:
    match = (_BARS if is_rest else _TIMES).fullmatch(clause)
    if match is None:
        return {}
    return {"times": 2 if match[1] is None else int(match[1])}


def _cut(clause: str) -> dict[str, int]:
    if match := _FROM.fullmatch(clause):
        found = {"from_bar": match[1], "from_beat": match[2]}
    elif match := _TO.fullmatch(clause):
        found = {"to_bar": match[1], "to_beat": match[2]}
    elif match := _ONLY.fullmatch(clause):
        found = {"from_bar": match[1], "to_bar": match[2] or match[1]}
    else:
        return {}
    return {key: int(number) for key, number in found.items() if number is not None}
