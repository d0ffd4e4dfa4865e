"""Engraved pictures read back: their texts with place and type, their bars, their strokes."""

import re
from dataclasses import dataclass
from typing import Any

from lxml import etree

SVG = "{http://www.w3.org/2000/svg}"
_PLACE = re.compile(r"translate\(([-\d.]+),\s*([-\d.]+)\)")


@dataclass(frozen=True)
class Text:
    """A text; `head` is the left edge of the note head it belongs to, 0 when it has none."""

    said: str
    x: float
    y: float
    size: float
    weight: str
    style: str
    anchor: str
    head: float
    spans: tuple[dict[str, str], ...]

    @property
    def is_tab(self) -> bool:
        """Told from other texts by what it looks like."""
        return self.anchor == "middle" and self.weight == "600"


@dataclass(frozen=True)
class Picture:
    """One picture; `box` is the drawing's left, top, width and height."""

    title: str
    box: tuple[float, float, float, float]
    texts: tuple[Text, ...]
    measures: int
    paths: tuple[tuple[str, str], ...]
    """Class and shape of every path."""

    def text(self, said: str) -> Text:
        return next(text for text in self.texts if text.said == said)

    @property
    def tab(self) -> tuple[Text, ...]:
        return tuple(text for text in self.texts if text.is_tab)

    @property
    def said(self) -> list[str]:
        return [text.said for text in self.texts]

    def path_start(self, name: str) -> float:
        """Where the only path of this class begins, its x."""
        (shape,) = [d for kind, d in self.paths if kind == name]
        found = re.match(r"M ([-\d.]+),", shape)
        assert found
        return float(found[1])


def read_picture(svg: str) -> Picture:
    root: Any = etree.fromstring(svg.encode())
    drawing = root.find(f"{SVG}svg")
    left, top, width, height = map(float, drawing.get("viewBox").split())
    return Picture(
        root.findtext(f"{SVG}title"),
        (left, top, width, height),
        tuple(_text(element) for element in root.iter(f"{SVG}text")),
        sum(group.get("class") == "measure" for group in root.iter(f"{SVG}g")),
        tuple((p.get("class", ""), p.get("d", "")) for p in root.iter(f"{SVG}path")),
    )


def _text(element: Any) -> Text:  # noqa: ANN401 - lxml's stubs allow None everywhere
    number = {key: float(element.get(key, "0")) for key in ("x", "y", "font-size")}
    return Text(
        "".join(element.itertext()),
        number["x"],
        number["y"],
        number["font-size"],
        element.get("font-weight", ""),
        element.get("font-style", ""),
        element.get("text-anchor", ""),
        _head(element),
        tuple(dict(span.attrib) | {"said": span.text} for span in element.iter(f"{SVG}tspan")),
    )


def _head(element: Any) -> float:  # noqa: ANN401
    for group in element.iterancestors(f"{SVG}g"):
        if group.get("class") in {"note", "chord"}:
            for use in group.iter(f"{SVG}use"):
                found = _PLACE.search(use.get("transform"))
                if use.getparent().get("class") == "notehead" and found:
                    return float(found[1])
    return 0.0
