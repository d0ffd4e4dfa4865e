"""Sheets for the typesetter's tests; every text is the tests' own."""

from typing import Any

from reedwright.sheet.document import ChartRow, Remark, SheetDocument
from reedwright.sheet.engrave import engrave_parted
from tests.sheet.scores import twelve_bars

CHART = (
    ChartRow("blow bends", ("",) * 7 + ("C6", "E♭6", "A♭6"), "bend"),
    ChartRow("blow", ("A3", "C♯4", "E4", "A4", "C♯5", "E5", "A5", "C♯6", "E6", "A6")),
    ChartRow("hole", tuple(str(hole) for hole in range(1, 11)), "holes"),
    ChartRow("draw", ("B3", "E4", "G♯4", "B4", "D5", "F♯5", "G♯5", "B5", "D6", "F♯6")),
    ChartRow("half step", ("B♭3", "E♭4", "G4", "B♭4", "", "F5", "", "", "", ""), "bend"),
)
DEFAULTS: dict[str, Any] = {
    "title": "Slow Bus",
    "byline": "for the second lesson",
    "facts": (("Harp", "A, Richter"), ("Tempo", "60 · 72 · 96")),
    "form": (("E7",), ("A7",), ("E7",), ("E7", "B♭7")),
    "remarks": (Remark("Call", "Start soft.\n\nListen."), Remark("Train", "Let air out.")),
    "chart": CHART,
    "chart_title": "The harp: A, Richter",
    "cautions": ("Rest when you feel dizzy.", "Do not share harps unwashed."),
}


def document(**changes: Any) -> SheetDocument:  # noqa: ANN401 - any field of the document
    """A whole sheet of the twelve hand-written bars, with some fields changed."""
    systems = {} if "systems" in changes else {"systems": engrave_parted(twelve_bars())}
    return SheetDocument(**(DEFAULTS | systems | changes))
