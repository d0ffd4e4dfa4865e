"""All that one printed sheet holds, as plain values; `typeset` prints it.

Conventions: every text is data, printed literally, on one line unless said otherwise; blanks are
tidied. An empty text or tuple leaves its part of the sheet out. Lengths are not given here: the
template knows the paper.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from reedwright.errors import SheetError
from reedwright.sheet.parted import Parted

Paper: TypeAlias = Literal["a4", "letter"]
RowKind: TypeAlias = Literal["holes", "natural", "bend", "overbend"]

_PAPERS = ("a4", "letter")
_ROW_KINDS = ("holes", "natural", "bend", "overbend")


@dataclass(frozen=True, slots=True)
class ChartRow:
    """One row of the harp's chart, a cell per hole; an empty cell is a note the hole has not.

    `degrees`: the degree of each cell in the tune's key, none where they are not to be shown.
    """

    label: str
    cells: tuple[str, ...]
    kind: RowKind = "natural"
    degrees: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if self.kind not in _ROW_KINDS:
            raise SheetError(f"A row of the chart is one of {', '.join(_ROW_KINDS)}: {self.kind}.")
        if self.degrees and len(self.degrees) != len(self.cells):
            raise SheetError("A row of the chart has as many degrees as cells, or none.")


@dataclass(frozen=True, slots=True)
class Remark:
    """What the teacher says about a lick; blank lines in `text` part paragraphs."""

    name: str
    text: str


@dataclass(frozen=True, slots=True)
class SheetDocument:
    """One lesson sheet.

    Attributes:
        facts: pairs of label and value ("Harp", "A, Richter"), one line each.
        form: for every bar of the form its chord symbols, in order; four bars a line on paper.
        systems: the lines of music, from `engrave_parted`.
        chart: rows from top to bottom, all with the same number of cells.
        chart_note: what its small figures mean, beside the title of the chart.
        cautions: short sentences at the very foot.
        large: large print; `systems` should then be engraved at `LARGE_SCALE`.
    """

    title: str
    byline: str = ""
    facts: tuple[tuple[str, str], ...] = ()
    form: tuple[tuple[str, ...], ...] = ()
    systems: tuple[Parted, ...] = ()
    remarks: tuple[Remark, ...] = ()
    chart: tuple[ChartRow, ...] = ()
    cautions: tuple[str, ...] = ()
    form_title: str = "Form"
    remarks_title: str = "Remarks"
    chart_title: str = "The harp"
    chart_note: str = ""
    paper: Paper = "a4"
    large: bool = False

    def __post_init__(self) -> None:
        if self.paper not in _PAPERS:
            raise SheetError(f"The paper is {' or '.join(_PAPERS)}, not {self.paper}.")
        if len({len(row.cells) for row in self.chart}) > 1:
            raise SheetError("The rows of the harp's chart have different numbers of cells.")
