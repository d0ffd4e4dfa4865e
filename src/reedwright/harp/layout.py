"""What every hole of a harp gives, laid out as the rows of a chart.

Conventions: holes lie across, blow above them and draw below; the natural notes lie next to the
hole and every further row outward is one semitone deeper, which is common practice of the trade.
An overbend stands in the row of the first bend on the side of its breath. Pitches are spelled in
the harp's first-position key; when a position is asked for, in that position's key, so that names
agree with degrees. Cents are those of the temperament; the reference pitch stands in the heading.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby

from reedwright.harp.harp import Harp, Variant, reference_cents
from reedwright.harp.note import Breath, TabNote
from reedwright.harp.pitch import fifths_of, harp_key, spell
from reedwright.harp.position import degree_of, mode_of, position_key, position_name
from reedwright.harp.temperament import EQUAL


@dataclass(frozen=True, slots=True)
class Cell:
    """One note of the chart. `cents`: from equal temperament, the reference pitch left out."""

    note: TabNote
    midi: int
    pitch: str
    degree: str
    cents: float

    @property
    def kind(self) -> str:
        """`natural`, `bend` or `overbend`."""
        return "overbend" if self.note.over else "bend" if self.note.bend else "natural"


@dataclass(frozen=True, slots=True)
class Row:
    """One breath at one depth across all holes; a hole without such a note holds None."""

    breath: Breath
    depth: int
    button: bool
    cells: tuple[Cell | None, ...]

    @property
    def label(self) -> str:
        """`blow`, `bend 2`, `bend 1, over`, `blow, button`."""
        kinds = {cell.kind for cell in self.cells if cell is not None}
        words = [self.breath.word] if self.depth == 0 else []
        words += [f"bend {self.depth}"] if "bend" in kinds else []
        words += ["over"] if "overbend" in kinds else []
        return ", ".join(words + ["button"] * self.button)


@dataclass(frozen=True, slots=True)
class Chart:
    """Rows from top to bottom: `above` the holes (blow, deepest first), then `below` (draw)."""

    title: str
    remarks: tuple[str, ...]
    holes: int
    above: tuple[Row, ...]
    below: tuple[Row, ...]
    shows_degrees: bool
    shows_cents: bool

    @property
    def rows(self) -> tuple[Row, ...]:
        return self.above + self.below

    @property
    def kinds(self) -> set[str]:
        return {cell.kind for row in self.rows for cell in row.cells if cell is not None}


def chart_of(harp: Harp, position: int | None = None) -> Chart:
    """The chart of a harp. Errors: HarpError for a position that does not exist."""
    cells = cells_of(harp, position)
    above = _rows(harp, cells, Breath.BLOW)
    return Chart(
        title=_title(harp),
        remarks=_remarks(harp, position),
        holes=harp.holes,
        above=tuple(reversed(above)),
        below=_rows(harp, cells, Breath.DRAW),
        shows_degrees=position is not None,
        shows_cents=harp.temperament.cents != EQUAL.cents,
    )


def cells_of(harp: Harp, position: int | None = None) -> tuple[Cell, ...]:
    """Every note of a harp, hole by hole, named."""
    home = harp.first_key if position is None else position_key(harp, position)
    fifths, reference = fifths_of(harp_key(home)), reference_cents(harp.a4_hz)
    cells = []
    for note in harp.notes():
        midi = harp.midi(note)
        pitch = spell(midi, fifths, flat_five=position is not None)
        degree = "" if position is None else degree_of(midi, home)
        cells.append(Cell(note, midi, pitch, degree, harp.cents(note) - reference))
    return tuple(cells)


def _rows(harp: Harp, cells: tuple[Cell, ...], breath: Breath) -> tuple[Row, ...]:
    """The rows of one breath from the holes outward."""

    def row_of(cell: Cell) -> tuple[int, bool]:
        return cell.note.bend + cell.note.over, cell.note.button

    mine = sorted((cell for cell in cells if cell.note.breath is breath), key=row_of)
    rows = []
    for (depth, button), group in groupby(mine, key=row_of):
        by_hole = {cell.note.hole: cell for cell in group}
        row = tuple(by_hole.get(hole) for hole in range(1, harp.holes + 1))
        rows.append(Row(breath, depth, button, row))
    return tuple(rows)


def _title(harp: Harp) -> str:
    register = "" if harp.variant is Variant.STANDARD else harp.variant.value.title() + " "
    return f"{register}{harp.key} harp, {harp.tuning.name}"


def _remarks(harp: Harp, position: int | None) -> tuple[str, ...]:
    """What the heading says below the title; nothing that goes without saying."""
    said = []
    if harp.tuning.label_position != 1:
        name = position_name(harp.tuning.label_position).split()[0]
        said.append(f"named by its {name}-position key")
    if position is not None:
        key, mode = harp_key(position_key(harp, position)), mode_of(harp, position)
        said.append(f"{position_name(position)} position: {key}{' ' + mode if mode else ''}")
    if harp.temperament.cents != EQUAL.cents:
        said.append(f"{harp.temperament.name}, in cents from equal")
    if harp.a4_hz != 440.0:
        said.append(f"A4 = {harp.a4_hz:g} Hz ({reference_cents(harp.a4_hz):+.1f} cents)")
    return tuple(said)
