"""The same tab on a harp of another key: every hole stays, the tune sounds higher or lower.

Conventions: what the file says of keys moves with the harp: `Key`, the chords of a form written out
by name, the start note of a spiral. Named forms and chords written as degrees follow by themselves.
Remarks are the teacher's words and stay.
"""

from __future__ import annotations

import re
from dataclasses import replace

from reedwright.errors import TuneError
from reedwright.harp.harp import Harp, harp_named
from reedwright.harp.pitch import fifths_of, harp_key, pitch_class
from reedwright.tune.chords import parse_chord
from reedwright.tune.headervalues import parse_key
from reedwright.tune.tune import Tune
from reedwright.tune.values import Header, TuneText

_SPIRAL = re.compile(r"(?i)((?:half[- ]valved )?spiral from )([A-G][b#♭♯]?)")


def on_harp(tune: Tune, name: str) -> TuneText:
    """The tune's text for a harp named like `A` or `low D`. Errors: HarpError for the name."""
    new = harp_named(name)
    semitones = (new.first_key - Harp(tune.harp.key, new.tuning).first_key) % 12
    head = tuple(
        _moved(item, tune, new, semitones) if isinstance(item, Header) else item
        for item in tune.text.head
    )
    return replace(tune.text, head=head)


def _moved(header: Header, tune: Tune, new: Harp, semitones: int) -> Header:
    match header.key.lower():
        case "harp":
            register = "" if new.variant.value == "standard" else f"{new.variant.value} "
            value = f"{register}{new.key}"
        case "key":
            value = _key(header.value, semitones)
        case "form":
            value = _form(header.value, tune, semitones)
        case "tuning":
            value = _SPIRAL.sub(lambda found: found[1] + _up(found[2], semitones), header.value)
        case _:
            return header
    return replace(header, value=value)


def _up(note: str, semitones: int) -> str:
    key, _ = parse_key(note)
    return harp_key((pitch_class(key) + semitones) % 12)


def _key(value: str, semitones: int) -> str:
    note, minor = parse_key(value)
    mode = {None: "", True: " minor", False: " major"}[minor]
    return harp_key((pitch_class(note) + semitones) % 12) + mode


def _form(value: str, tune: Tune, semitones: int) -> str:
    """Chords by name moved, everything else as it was written."""
    if "|" not in value and tune.form.name:
        return value
    fifths = fifths_of(harp_key((tune.key + semitones) % 12), tune.minor)
    return re.sub(r"[^\s|]+", lambda found: _chord(found[0], tune.key, semitones, fifths), value)


def _chord(token: str, key: int, semitones: int, fifths: int) -> str:
    try:
        chord = parse_chord(token, key)
    except TuneError:  # `/` and `%`
        return token
    if chord == _elsewhere(token, key):
        return chord.up(semitones).name(fifths)
    return token  # a degree: it means another chord in another key


def _elsewhere(token: str, key: int) -> object:
    """What the token means in another key: the same chord for a name, another for a degree."""
    return parse_chord(token, (key + 1) % 12)
