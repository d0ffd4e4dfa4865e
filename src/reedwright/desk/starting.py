"""The text a new tune begins with, and the title its name is made from."""

from __future__ import annotations

import re
from dataclasses import dataclass

from reedwright.tune.header import MAX_TITLE

_TITLE = re.compile(r"^\s*Title\s*:(.*)$", re.IGNORECASE | re.MULTILINE)
_PLAIN = "Untitled"
_EMPTY = "Title: {title}\nHarp: C\nPosition: second\n\nLick One\n1: . . . .\n"


@dataclass(frozen=True, slots=True)
class Begun:
    """A title to make a name from, and the text."""

    title: str
    text: str


def starting(title: str, text: str) -> Begun:
    """What is begun from a wished title and text; either may be empty."""
    found = _TITLE.search(text[:4000])
    clean = "".join(sign if sign.isprintable() else " " for sign in title)
    said = " ".join(clean.split())[:MAX_TITLE] or (found[1].strip() if found else "")
    return Begun(said or _PLAIN, text or _EMPTY.format(title=said or _PLAIN))
