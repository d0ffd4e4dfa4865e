"""Small strokes the engraver does not know: glides into and out of a note.

Conventions: as in `finish`: 180 to a staff space, y downwards, (x, y) the middle of a note head.
"""

from __future__ import annotations

from typing import TypeAlias

from lxml import etree

from reedwright.sheet.svg import SVG

_HEAD, _ACCIDENTAL = 150, 230  # half a note head and the air beside it; an accidental's width
# Curves from the outer end towards (glide in) or away from (glide out) the head, our own drawing.
_IN = {"scoop": "q 90,-10 150,-130", "plop": "q 90,10 150,130"}
_IN_START = {"scoop": 150, "plop": -150}
_OUT = {"falloff": "q 100,10 170,170", "doit": "q 100,-10 170,-170"}
GLIDES = (*_IN, *_OUT)  # as MusicXML names them

Element: TypeAlias = "etree._Element"


def glide_path(kind: str, x: float, y: float, *, accidental: bool) -> Element:
    """A curve into ("scoop" from below, "plop" from above) or out of ("falloff", "doit") a note."""
    if kind in _IN:
        start = x - _HEAD - 150 - (_ACCIDENTAL if accidental else 0)
        path = f"M {start:g},{y + _IN_START[kind]:g} {_IN[kind]}"
    else:
        path = f"M {x + _HEAD:g},{y:g} {_OUT[kind]}"
    return etree.Element(
        f"{SVG}path",
        {"class": kind, "d": path, "fill": "none", "stroke-width": "26", "stroke-linecap": "round"},
    )
