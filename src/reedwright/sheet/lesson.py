"""The lesson sheet of a tune: a score and its engraved lines of music put into a `SheetDocument`.

Conventions: words come from `data/words.toml`, one editable file. Pitches and degrees of the chart
are those the harp room gives for the tune's position; a row that holds bends and overbends counts
as one of bends, and an overbend is marked with `o`, as in tab.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from reedwright.harp.layout import Cell, Row, chart_of
from reedwright.harp.pitch import harp_key, real_signs
from reedwright.harp.position import position_key, position_name
from reedwright.sheet.document import ChartRow, Paper, Remark, SheetDocument
from reedwright.sheet.legend import legend
from reedwright.sheet.options import SheetOptions
from reedwright.sheet.parted import Parted
from reedwright.sheet.tabstyle import printed
from reedwright.sheet.words import words
from reedwright.tune.place import Score
from reedwright.tune.tune import Tune

Words = dict[str, dict[str, str]]
_KEY = re.compile(r"\b[A-G][b#](?![\w#])")


def sheet_document(
    score: Score,
    systems: tuple[Parted, ...],
    options: SheetOptions,
    *,
    paper: Paper = "a4",
    large: bool = False,
) -> SheetDocument:
    """Everything one printed sheet of a tune holds; `systems` come from `engrave_parted`."""
    tune, said = score.tune, words()
    titles = said["titles"]
    return SheetDocument(
        title=tune.title,
        byline=_byline(tune, said),
        facts=tuple(_facts(score, options, said)),
        form=tuple(
            tuple(real_signs(span.chord.name(tune.fifths)) for span in bar)
            for bar in tune.form.bars
        ),
        systems=systems,
        remarks=tuple(_remarks(score, titles)),
        chart=tuple(_chart(tune, titles)),
        cautions=tuple(said["cautions"].values()),
        form_title=titles["form"],
        remarks_title=titles["remarks"],
        chart_title=titles["chart"].format(harp=_harp(tune)),
        chart_note=titles["degrees"].format(key=real_signs(_home(tune))),
        paper=paper,
        large=large,
    )


def _byline(tune: Tune, said: Words) -> str:
    if tune.by and tune.school:
        return said["values"]["byline"].format(by=tune.by, school=tune.school)
    return tune.by or tune.school


def _facts(score: Score, options: SheetOptions, said: Words) -> Iterator[tuple[str, str]]:
    tune, names, values = score.tune, said["facts"], said["values"]
    yield names["harp"], _harp(tune)
    position = position_name(tune.position)
    yield names["position"], values["position"].format(name=position, key=_key_signs(tune.key_name))
    yield names["meter"], values["meter"].format(meter=tune.meter, feel=tune.feel.name)
    yield names["tempo"], _tempo(tune, options, values)
    signs = printed(legend(score, options, "print"))
    if signs:
        yield names["tab"], signs
    if tune.student:
        yield names["student"], tune.student


def _harp(tune: Tune) -> str:
    harp = tune.harp
    name = _key_signs(harp.name)
    parts = [name if harp.tuning.name != "Richter" else f"{name}, Richter"]
    parts += [harp.temperament.name] if harp.temperament.name != "equal" else []
    parts += [f"A4 = {harp.a4_hz:g} Hz"] if harp.a4_hz != 440.0 else []
    return ", ".join(parts)


def _tempo(tune: Tune, options: SheetOptions, values: dict[str, str]) -> str:
    tempos = tune.tempos_bpm if options.tempo_bpm is None else (options.tempo_bpm,)
    slow, full = f"{float(tempos[0]):g}", f"{float(tempos[-1]):g}"
    return values["tempo" if len(tempos) > 1 else "one_tempo"].format(slow=slow, full=full)


def _remarks(score: Score, titles: dict[str, str]) -> Iterator[Remark]:
    """What the teacher says about the tune, then about each lick that is played."""
    tune = score.tune
    if tune.remarks:
        yield Remark(titles["tune_remarks"], "\n\n".join(tune.remarks))
    placed = {each.lick.lick.slug for each in score.order.placements if each.lick is not None}
    for slug, full in tune.licks.items():
        if slug in placed and full.lick.remarks:
            yield Remark(full.lick.name, "\n\n".join(full.lick.remarks))


def _home(tune: Tune) -> str:
    """The key note of the position, as the chart spells it."""
    return harp_key(position_key(tune.harp, tune.position))


def _chart(tune: Tune, titles: dict[str, str]) -> Iterator[ChartRow]:
    chart = chart_of(tune.harp, tune.position)
    numbers = tuple(str(hole) for hole in range(1, chart.holes + 1))
    yield from (_row(row) for row in chart.above)
    yield ChartRow(titles["hole"], numbers, "holes")
    yield from (_row(row) for row in chart.below)


def _row(row: Row) -> ChartRow:
    cells = tuple("" if cell is None else _named(cell) for cell in row.cells)
    degrees = tuple("" if cell is None else real_signs(cell.degree) for cell in row.cells)
    kinds = {cell.kind for cell in row.cells if cell is not None}
    if row.depth == 0:
        return ChartRow(row.label, cells, "natural", degrees)
    return ChartRow(row.label, cells, "bend" if "bend" in kinds else "overbend", degrees)


def _named(cell: Cell) -> str:
    return real_signs(cell.pitch) + "o" * cell.note.over


def _key_signs(words: str) -> str:
    """`Bb minor` with the real signs; no other letters are touched."""
    return _KEY.sub(lambda key: real_signs(key[0]), words)
