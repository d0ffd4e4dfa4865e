"""Where the engraver's signs reach up to, so that what stands over the music keeps clear of them.

Conventions: lengths as in `svg`. Signs are points at their highest; how far a sign rises above
the place the engraver gives it was measured in verovio's Leipzig font.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import TypeAlias

from lxml import etree

from reedwright.sheet.svg import SVG, Bar

Element: TypeAlias = "etree._Element"
Point: TypeAlias = tuple[float, float]

_RISE = {
    "clef": 680.0,
    "accid": 315.0,
    "keyAccid": 315.0,
    "trill": 230.0,
    "tupletNum": 200.0,
    "octave": 300.0,
}
_HEAD_RISE = 100.0
_WIDTH = 220.0  # of a sign, about
_CLEAR = 110.0  # below the baseline of a text: its descenders, and a little air
_NUMBERS = re.compile(r"(-?[\d.]+)[ ,]+(-?[\d.]+)")
_DRAWN = tuple(f"{SVG}{tag}" for tag in ("use", "path", "polygon", "polyline"))


def ink(bars: Sequence[Bar]) -> list[Point]:
    """Highest points of all signs of a line of music but the lines of the staff."""
    return [point for bar in bars for drawn in bar.group.iter(*_DRAWN) for point in _tops(drawn)]


def clear(points: Sequence[Point], left: float, right: float, y: float) -> float:
    """The lowest baseline, at or above `y`, where a text from left to right touches no sign."""
    tops = [top for x, top in points if left - _WIDTH / 2 <= x <= right + _WIDTH / 2]
    return min([y, *(top - _CLEAR for top in tops)])


def _tops(drawn: Element) -> Iterator[Point]:
    parent = drawn.getparent()
    kind = parent.get("class", "") if parent is not None else ""
    if kind == "staff":  # its lines; a clef has a group of its own
        return
    if drawn.tag == _DRAWN[0]:
        found = _NUMBERS.search(drawn.get("transform", ""))
        if found:
            x, top = float(found[1]), float(found[2]) - _RISE.get(kind, _HEAD_RISE)
            yield from ((x, top), (x + _WIDTH, top))
        return
    for x, y in _NUMBERS.findall(drawn.get("d") or drawn.get("points") or ""):
        yield float(x), float(y)
