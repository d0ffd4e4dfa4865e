"""A line of music as the typesetter takes it: a picture, and the lettering over it.

Conventions: lengths in mm on the sheet's type area, `svg.TEXT_WIDTH_MM` wide, y downwards to the
baseline. `lettering` makes these values.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Run:
    """Letters of one kind."""

    text: str
    size_mm: float
    bold: bool = False
    italic: bool = False
    fill: str = ""
    font: str = ""


@dataclass(frozen=True, slots=True)
class Piece:
    """Runs one behind the other, from `x_mm` on or with their middle there."""

    x_mm: float
    y_mm: float
    runs: tuple[Run, ...]
    centred: bool = False

    @property
    def text(self) -> str:
        """All its letters."""
        return "".join(run.text for run in self.runs)


@dataclass(frozen=True, slots=True)
class Parted:
    """A line of music.

    Attributes:
        title: what the line is called.
        picture: SVG without any text.
        pieces: the lettering.
        height_mm: of the whole.
        spoken: the lettering in reading order as one text, the holes of a chord joined.
    """

    title: str
    picture: str
    pieces: tuple[Piece, ...]
    height_mm: float
    spoken: str
