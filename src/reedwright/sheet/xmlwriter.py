"""Small pieces of MusicXML as text.

Why text and not a tree: every element of ours is known beforehand, so a note is one formatted
string. Building and serialising the same elements with lxml takes longer than our whole writer,
its rhythm and spelling included (measured in `bench/bench_musicxml.py`). Whatever comes from a
user goes through `escaped`, and tests hold the result against the schema.
Source of the elements: MusicXML 4.0 (W3C).
"""

from __future__ import annotations

import re

_ILLEGAL = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")  # XML 1.0, "Char"
_MARKUP = str.maketrans({"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;"})


def escaped(text: str) -> str:
    """A user's text as character data or attribute: markup escaped, illegal characters replaced."""
    return _ILLEGAL.sub("\ufffd", text).translate(_MARKUP)


def direction(content: str, extra: str = "", placement: str = "above") -> str:
    """A direction with its `direction-type` content; `extra` follows it (offset, sound)."""
    return (
        f'<direction placement="{placement}"><direction-type>{content}</direction-type>'
        f"{extra}</direction>\n"
    )


def words(text: str, placement: str = "above") -> str:
    """Words in italics above (or below) the staff."""
    said = f'<words font-style="italic">{escaped(text)}</words>'
    return direction(said, placement=placement)


def rehearsal(text: str) -> str:
    """A name in bold at the start of a passage, without a frame."""
    return direction(f'<rehearsal enclosure="none">{escaped(text)}</rehearsal>')


def lyric(number: int, name: str, text: str) -> str:
    """One line of text under a note."""
    return (
        f'<lyric number="{number}" name="{name}"><syllabic>single</syllabic>'
        f"<text>{escaped(text)}</text></lyric>"
    )


def pitch(step: str, alter: int, octave: int) -> str:
    altered = f"<alter>{alter}</alter>" if alter else ""
    return f"<pitch><step>{step}</step>{altered}<octave>{octave}</octave></pitch>"
