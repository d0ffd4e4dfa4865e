"""One part of a cell, as text: `4d`, `1+2d`, `4x5d@3`, `(/4d')`, `3>6bw@2!`.

Grammar in `docs/tune-file.md`. The plain notation writes the breath as a letter; a file whose
header says `Tab: signed` writes a minus for draw and a bare number (or a plus) for blow, and
joins chords with a comma, because the plus would clash.
"""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

from reedwright.errors import Problem, TokenError
from reedwright.harp.note import Breath, TabNote, parse_note
from reedwright.harp.pitch import shown
from reedwright.tune.values import Mark, MarkKind, Sound

MAX_RATE = 16
"""Changes per beat of a shake, vibrato or wah: more is a slip of the pen."""

MAX_TOKEN = 80
_RATE = r"(?:@([0-9]{1,2}(?:\.[0-9]{1,3})?|[0-9]{1,2}/[0-9]{1,2}))?"
_SOUND = re.compile(
    r"(?P<ghost>\()?(?P<dip>/{0,5})(?:(?P<rake>[0-9]{1,2})>)?"
    r"(?P<tab>[-+]?[0-9][-0-9bdo'*+x,]*)"
    + _RATE.replace("(?:@(", "(?:@(?P<rate>")
    + r"(?P<marks>(?:[vhwfspt]"
    + _RATE.replace("(?:@(", "(?:@(?:")
    + r")*)"
    r"(?P<fall>\\{0,5})(?P<accent>!)?(?P<close>\))?"
)
_MARK = re.compile(r"([vhwfspt])" + _RATE)
_SIGNED = re.compile(r"([-+]?)([0-9]{1,2})(o?)('{0,5})(\*?)")
_RATED = frozenset({MarkKind.THROAT, MarkKind.HAND, MarkKind.WAH})


def parse_sound(token: str, signed: bool = False, column: int = 0) -> Sound:
    """Read one sound. Errors: TokenError with what was found, the rule and the mend."""
    if len(token) > MAX_TOKEN:
        raise TokenError(_unreadable(token))
    match = _SOUND.fullmatch(token)
    if match is None or bool(match["ghost"]) != bool(match["close"]):
        raise TokenError(_why_unreadable(token))
    notes, shake = (_signed_tab if signed else _plain_tab)(match["tab"], token)
    if match["rate"] and shake is None:
        raise TokenError(_bad(token, "A rate after @ belongs to a shake, vibrato or wah"))
    marks = _marks(match, token)
    rate = _rate(match["rate"], token)
    return Sound(notes, shake, rate, marks, column)


def _marks(match: re.Match[str], token: str) -> tuple[Mark, ...]:
    marks = [Mark(MarkKind.DIP, Fraction(len(match["dip"])))] if match["dip"] else []
    marks += [Mark(MarkKind.RAKE, Fraction(match["rake"]))] if match["rake"] else []
    for letter, rate in _MARK.findall(match["marks"]):
        kind = MarkKind(letter)
        if rate and kind not in _RATED:
            raise TokenError(_bad(token, f"A {kind.word} has no rate"))
        marks.append(Mark(kind, _rate(rate, token)))
    marks += [Mark(MarkKind.FALL, Fraction(len(match["fall"])))] if match["fall"] else []
    marks += [Mark(MarkKind.ACCENT)] if match["accent"] else []
    marks += [Mark(MarkKind.GHOST)] if match["ghost"] else []
    kinds = [mark.kind for mark in marks]
    if len(set(kinds)) != len(kinds):
        raise TokenError(_bad(token, "Each mark stands once"))
    order = list(MarkKind)
    return tuple(sorted(marks, key=lambda mark: order.index(mark.kind)))


def _rate(text: str | None, token: str) -> Fraction:
    if not text:
        return Fraction(0)
    try:
        rate = Fraction(text)
    except ZeroDivisionError:
        rate = Fraction(0)
    if not 0 < rate <= MAX_RATE:
        raise TokenError(_bad(token, f"A rate is more than 0 and at most {MAX_RATE} per beat"))
    return rate


def _plain_tab(tab: str, token: str) -> tuple[tuple[TabNote, ...], TabNote | None]:
    if re.match(r"[-+]", tab) or "," in tab or "-" in tab:
        raise TokenError(
            _bad(
                token,
                "Signs are read only in a file with `Tab: signed` in its header",
                "write b for blow and d for draw, like 4d",
            )
        )
    pieces = re.split(r"([+x])", tab)
    names, joiners = pieces[::2], pieces[1::2]
    notes: list[TabNote] = []
    breath: Breath | None = None
    for name in reversed(names):
        note = _one(name, breath, token)
        breath = note.breath
        notes.insert(0, note)
    return _joined(tuple(notes), joiners, token)


def _one(name: str, breath: Breath | None, token: str) -> TabNote:
    if re.fullmatch(r"[0-9]{1,2}'*", name) and breath is None:
        raise TokenError(
            _bad(
                token,
                "It does not say blow or draw",
                f"write {name[:2].rstrip(chr(39))}b or {name[:2].rstrip(chr(39))}d",
            )
        )
    try:
        return parse_note(name, breath)
    except TokenError:
        raise TokenError(_unreadable(token)) from None


def _signed_tab(tab: str, token: str) -> tuple[tuple[TabNote, ...], TabNote | None]:
    if re.search(r"[bd]", tab):
        raise TokenError(
            _bad(
                token,
                "This file writes signs (`Tab: signed`), not letters",
                "write -4 for draw and 4 for blow",
            )
        )
    pieces = re.split(r"([,x])", tab)
    notes: list[TabNote] = []
    breath = Breath.BLOW
    for index, name in enumerate(pieces[::2]):
        match = _SIGNED.fullmatch(name)
        if match is None:
            raise TokenError(_unreadable(token))
        sign, hole, over, bend, button = match.groups()
        if sign or index == 0:
            breath = Breath.DRAW if sign == "-" else Breath.BLOW
        notes.append(_one(f"{hole}{breath.value}{over}{bend}{button}", None, token))
    return _joined(tuple(notes), pieces[1::2], token)


def _joined(
    notes: tuple[TabNote, ...], joiners: list[str], token: str
) -> tuple[tuple[TabNote, ...], TabNote | None]:
    if "x" in joiners:
        if len(notes) != 2:
            raise TokenError(
                _bad(token, "A shake goes between two single holes", "write it like 4x5d")
            )
        return notes[:1], notes[1]
    holes = [note.hole for note in notes]
    if len(set(holes)) != len(holes):
        raise TokenError(_bad(token, "A chord names each hole once"))
    return tuple(sorted(notes, key=lambda note: note.hole)), None


def format_sound(sound: Sound, signed: bool = False) -> str:
    """The canonical text of a sound; `parse_sound` reads it back to an equal value."""
    tab = (_format_signed if signed else _format_plain)(sound.reeds, "x" if sound.shake else "")
    amounts = {mark.kind: mark.amount for mark in sound.marks}
    rake = f"{amounts[MarkKind.RAKE]}>" if MarkKind.RAKE in amounts else ""
    letters = "".join(
        mark.kind.value + _format_rate(mark.amount) for mark in sound.marks if mark.kind.isalpha()
    )
    text = "/" * int(amounts.get(MarkKind.DIP, 0)) + rake + tab + _format_rate(sound.shake_rate)
    text += letters + "\\" * int(amounts.get(MarkKind.FALL, 0))
    text += "!" * (MarkKind.ACCENT in amounts)
    return f"({text})" if MarkKind.GHOST in amounts else text


def _format_rate(rate: Fraction) -> str:
    return f"@{rate}" if rate else ""


def _format_plain(notes: tuple[TabNote, ...], joiner: str) -> str:
    same = len({replace(note, hole=1) for note in notes}) == 1 and notes[0] == notes[0].natural()
    if same and not notes[0].button:
        return (joiner or "+").join([*(str(note.hole) for note in notes[:-1]), str(notes[-1])])
    return (joiner or "+").join(str(note) for note in notes)


def _format_signed(notes: tuple[TabNote, ...], joiner: str) -> str:
    texts: list[str] = []
    breath = Breath.BLOW
    for note in notes:
        sign = "-" if note.breath is Breath.DRAW else "+" if breath is Breath.DRAW else ""
        sign = sign if note.breath is not breath or not texts else ""
        breath = note.breath
        texts.append(f"{sign}{note.hole}{'o' * note.over}{chr(39) * note.bend}{'*' * note.button}")
    return (joiner or ",").join(texts)


def _why_unreadable(token: str) -> Problem:
    lowered = token.lower()
    if lowered != token and _SOUND.fullmatch(lowered):
        return _bad(token, "Tab is written in small letters", f"write {lowered}")
    if token.count("(") != token.count(")"):
        return _bad(token, "A ghost note stands in a pair of brackets", "write it like (4d)")
    return _unreadable(token)


def _unreadable(token: str) -> Problem:
    return _bad(
        token,
        "A part is = (hold), . (rest), or a note: hole, b or d, ' for each semitone of bend",
        "write it like 4d, 3d'', 1+2b or 6bo",
    )


def _bad(token: str, rule: str, mend: str = "") -> Problem:
    return Problem(found=f"cannot read {shown(token)}", rule=rule, mend=mend)
