"""One part of a cell, as text: `4d`, `1+2d`, `4x5d@3`, `(/4d')`, `3>6bw@2!`.

Grammar in `docs/tune-file.md`. The plain notation writes the breath as a letter; a file whose
header says `Tab: signed` writes a minus for draw and a bare number (or a plus) for blow, and
joins chords with a comma, because the plus would clash. Curled quotes and long dashes, which
editors put in of their own accord, are read as the plain signs.
"""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache

from reedwright.errors import Problem, TokenError
from reedwright.harp.note import MAX_BEND, MAX_HOLES, Breath, TabNote, parse_note
from reedwright.harp.pitch import shown
from reedwright.tune.marks import MAX_RATE, RATED, Mark, MarkKind
from reedwright.tune.values import Sound

MAX_TOKEN = 80
RATE_DECIMALS = 3

TYPED = str.maketrans(
    {**dict.fromkeys("’‘′", "'"), **dict.fromkeys('"”“″', "''"), **dict.fromkeys("−–", "-")}
)
"""For `str.translate`: what editors put in of their own accord, as the signs that were typed."""

_RATE = r"@(?:[0-9]{1,2}/[0-9]{1,2}|[0-9]{1,2}(?:\.[0-9]{1,3})?)"
_SOUND = re.compile(
    r"(?P<ghost>\()?(?P<dip>/{0,5})(?:(?P<rake>[0-9]{1,2})>)?"
    r"(?P<tab>[-+]?[0-9][-0-9bdo'*+x,]*)"
    rf"(?P<rate>{_RATE})?(?P<marks>(?:[vhwfspt](?:{_RATE})?)*)"
    r"(?P<fall>\\{0,5})(?P<accent>!)?(?P<close>\))?"
)
_MARK = re.compile(rf"([vhwfspt])({_RATE})?")
_SIGNED = re.compile(r"([-+]?)([0-9]{1,2})(o?)('*)(\*?)")
_ORDER = {kind: place for place, kind in enumerate(MarkKind)}


def parse_sound(token: str, signed: bool = False, column: int = 0) -> Sound:
    """Read one sound. Errors: TokenError with what was found, the rule and the mend."""
    if len(token) > MAX_TOKEN:
        raise TokenError(_unreadable(token, signed))
    sound = _parsed(token, signed)
    return sound.at(column) if column else sound


@lru_cache(maxsize=4096)  # the same few tokens fill a tune
def _parsed(token: str, signed: bool) -> Sound:
    if token[-1:] in (",", ";"):
        sign = "comma" if token[-1] == "," else "semicolon"
        raise TokenError(
            _bad(token, "Beats are set apart by spaces alone", f"leave the {sign} out")
        )
    match = _SOUND.fullmatch(token.translate(TYPED))
    if match is None or bool(match["ghost"]) != bool(match["close"]):
        raise TokenError(_why_unreadable(token, signed))
    notes, shake = (_signed_tab if signed else _plain_tab)(match["tab"], token)
    if match["rate"] and shake is None:
        rule = "A rate after @ belongs to a shake, vibrato or wah"
        raise TokenError(_bad(token, rule, "leave the rate out, or write a shake like 4x5d@3"))
    return Sound(notes, shake, _rate(match["rate"], token), _marks(match, token))


def _marks(match: re.Match[str], token: str) -> tuple[Mark, ...]:
    marks = [Mark(MarkKind.DIP, Fraction(len(match["dip"])))] if match["dip"] else []
    if match["rake"]:
        if not 1 <= int(match["rake"]) <= MAX_HOLES:
            rule = f"A rake starts from a hole, 1 to {MAX_HOLES}"
            raise TokenError(_bad(token, rule, "write it like 3>6b"))
        marks.append(Mark(MarkKind.RAKE, Fraction(match["rake"])))
    for letter, rate in _MARK.findall(match["marks"]):
        kind = MarkKind(letter)
        if rate and kind not in RATED:
            raise TokenError(_bad(token, f"A {kind.word} has no rate", "leave the rate out"))
        marks.append(Mark(kind, _rate(rate, token)))
    marks += [Mark(MarkKind.FALL, Fraction(len(match["fall"])))] if match["fall"] else []
    marks += [Mark(MarkKind.ACCENT)] if match["accent"] else []
    marks += [Mark(MarkKind.GHOST)] if match["ghost"] else []
    if len({mark.kind for mark in marks}) != len(marks):
        raise TokenError(_bad(token, "Each mark stands once", "leave one of the two out"))
    return tuple(sorted(marks, key=lambda mark: _ORDER[mark.kind]))


def _rate(text: str | None, token: str) -> Fraction:
    if not text:
        return Fraction(0)
    try:
        rate = Fraction(text[1:])
    except ZeroDivisionError:
        rate = Fraction(0)
    if not 0 < rate <= MAX_RATE:
        rule = f"A rate is more than 0 and at most {MAX_RATE} per beat"
        raise TokenError(_bad(token, rule, "write it like @3 or @1.5"))
    return rate


def _plain_tab(tab: str, token: str) -> tuple[tuple[TabNote, ...], TabNote | None]:
    if re.match(r"[-+]", tab) or "," in tab or "-" in tab:
        raise TokenError(
            _bad(
                token,
                "Signs are read only in a file with `Tab: signed` in its header",
                "write b for blow and d for draw, and + in chords, like 4d or 1+2d",
            )
        )
    pieces = re.split(r"([+x])", tab)
    notes: list[TabNote] = []
    breath: Breath | None = None
    for name in reversed(pieces[::2]):
        note = _one(name, breath, token, signed=False)
        breath = note.breath
        notes.append(note)
    return _joined(notes[::-1], pieces[1::2], token, "4x5d")


def _one(name: str, breath: Breath | None, token: str, signed: bool) -> TabNote:
    bare = re.fullmatch(r"([0-9]{1,2})('*)", name)
    if bare is not None and breath is None:
        mend = f"write {bare[1]}b{bare[2]} or {bare[1]}d{bare[2]}"
        raise TokenError(_bad(token, "It does not say blow or draw", mend))
    number = re.match(r"[0-9]+", name)
    hole = int(number[0]) if number and len(number[0]) < 4 else 0
    if number and not 1 <= hole <= MAX_HOLES:
        rule = f"Holes run from 1 to {MAX_HOLES}"
        raise TokenError(_bad(token, rule, "write the number that stands on the harp by the hole"))
    if name.count("'") > MAX_BEND:
        rule = f"A bend has at most {MAX_BEND} semitones"
        raise TokenError(_bad(token, rule, "write one ' for each semitone"))
    try:
        return parse_note(name, breath)
    except TokenError:
        raise TokenError(_unreadable(token, signed)) from None


def _signed_tab(tab: str, token: str) -> tuple[tuple[TabNote, ...], TabNote | None]:
    if re.search(r"[bd]", tab):
        raise TokenError(
            _bad(
                token,
                "This file writes signs (`Tab: signed`), not letters",
                "write -4 for draw and 4 for blow",
            )
        )
    if re.search(r"[0-9'o*]\+", tab):
        rule = "In a file with `Tab: signed` the holes of a chord are joined with a comma"
        raise TokenError(_bad(token, rule, "write it like -1,2"))
    pieces = re.split(r"([,x])", tab)
    notes: list[TabNote] = []
    breath = Breath.BLOW
    for name in pieces[::2]:
        match = _SIGNED.fullmatch(name)
        if match is None:
            raise TokenError(_unreadable(token, signed=True))
        sign, hole, over, bend, button = match.groups()
        breath = {"-": Breath.DRAW, "+": Breath.BLOW}.get(sign, breath)
        notes.append(_one(f"{hole}{breath.value}{over}{bend}{button}", None, token, signed=True))
    return _joined(notes, pieces[1::2], token, "-4x5")


def _joined(
    notes: list[TabNote], joiners: list[str], token: str, example: str
) -> tuple[tuple[TabNote, ...], TabNote | None]:
    different = len({note.hole for note in notes}) == len(notes)
    if "x" in joiners:
        if len(notes) != 2 or not different:
            rule = "A shake goes between two single holes"
            raise TokenError(_bad(token, rule, f"write it like {example}"))
        return tuple(notes[:1]), notes[1]
    if not different:
        raise TokenError(_bad(token, "A chord names each hole once", "leave one of the two out"))
    return tuple(sorted(notes, key=lambda note: note.hole)), None


def format_sound(sound: Sound, signed: bool = False) -> str:
    """The canonical text of a sound; `parse_sound` reads it back to an equal value."""
    tab = (_format_signed if signed else _format_plain)(sound.reeds, "x" if sound.shake else "")
    if not sound.marks and not sound.shake_rate:
        return tab
    amounts = {mark.kind: mark.amount for mark in sound.marks}
    rake = f"{amounts[MarkKind.RAKE]}>" if MarkKind.RAKE in amounts else ""
    letters = "".join(
        mark.kind.value + format_rate(mark.amount) for mark in sound.marks if mark.kind.isalpha()
    )
    text = "/" * int(amounts.get(MarkKind.DIP, 0)) + rake + tab + format_rate(sound.shake_rate)
    text += letters + "\\" * int(amounts.get(MarkKind.FALL, 0))
    text += "!" * (MarkKind.ACCENT in amounts)
    return f"({text})" if MarkKind.GHOST in amounts else text


def format_rate(rate: Fraction) -> str:
    """`@3`, `@1.5`, or `@4/3` where a decimal would not be exact; empty for the player's own."""
    if not rate:
        return ""
    thousandths = rate * 10**RATE_DECIMALS
    if thousandths.denominator != 1 or rate.denominator == 1:
        return f"@{rate}"
    whole, part = divmod(int(thousandths), 10**RATE_DECIMALS)
    return f"@{whole}.{part:0{RATE_DECIMALS}d}".rstrip("0")


@lru_cache(maxsize=4096)
def _format_plain(notes: tuple[TabNote, ...], joiner: str) -> str:
    plain = all(note == TabNote(note.hole, notes[0].breath) for note in notes)
    names = [str(note.hole) if plain else str(note) for note in notes[:-1]]
    return (joiner or "+").join([*names, str(notes[-1])])


@lru_cache(maxsize=4096)
def _format_signed(notes: tuple[TabNote, ...], joiner: str) -> str:
    texts: list[str] = []
    breath = Breath.BLOW
    for note in notes:
        sign = "" if note.breath is breath else "-" if note.breath is Breath.DRAW else "+"
        breath = note.breath
        texts.append(f"{sign}{note.hole}{'o' * note.over}{chr(39) * note.bend}{'*' * note.button}")
    return (joiner or ",").join(texts)


def _why_unreadable(token: str, signed: bool) -> Problem:
    lowered = token.lower()
    if lowered != token and _SOUND.fullmatch(lowered):
        return _bad(token, "Tab is written in small letters", f"write {lowered}")
    if "|" in token:
        rule = "Bars are not parted by |, each has a line of its own"
        return _bad(token, rule, "leave the | out")
    if token.count("(") != token.count(")"):
        return _bad(token, "A ghost note stands in a pair of brackets", "write it like (4d)")
    return _unreadable(token, signed)


def _unreadable(token: str, signed: bool) -> Problem:
    if signed:
        rule = "A part is = (hold), . (rest), or a note: - for draw, hole, ' for each semitone bent"
        return _bad(token, rule, "write it like -4, 4, -3'', 1,2 or 6o")
    return _bad(
        token,
        "A part is = (hold), . (rest), or a note: hole, b or d, ' for each semitone of bend",
        "write it like 4d, 3d'', 1+2b or 6bo",
    )


def _bad(token: str, rule: str, mend: str = "") -> Problem:
    return Problem(found=f"cannot read {shown(token)}", rule=rule, mend=mend)
