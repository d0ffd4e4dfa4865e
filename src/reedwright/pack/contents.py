"""The files of a pack, made one by one from a checked tune; `reedwright sheet` takes single ones.

Conventions: a tune with errors is never printed (`pack` sees to that). All bytes follow from tune
and choices; see `recipes` for what happens when they move.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace

from reedwright.check.check import Report
from reedwright.pack.choices import Choices
from reedwright.sheet.document import SheetDocument
from reedwright.sheet.options import SheetOptions


def contents(report: Report, choices: Choices) -> Iterator[tuple[str, bytes]]:
    """Name and bytes of every file of a pack but the tune's own."""
    yield "band.mid", band_file(report, choices)
    yield "check.json", check_file(report)
    yield "harp.svg", chart_file(report)
    document = _document(report, choices)  # one for paper and screen
    yield "sheet.pdf", _print(document)
    yield "sheet-large.pdf", print_file(report, choices, large=True)
    for number, page in enumerate(_pages(document), 1):
        yield f"sheet-{number}.svg", page
    yield "sheet.txt", text_file(report, choices)
    yield "tune.mid", midi_file(report, choices)
    yield "tune.musicxml", musicxml_file(report, choices)


def band_file(report: Report, choices: Choices) -> bytes:
    """The band as MIDI, in step with the tune's own MIDI file."""
    from reedwright.band.arrange import arrange
    from reedwright.band.midi import band_midi
    from reedwright.band.values import Options
    from reedwright.performance.perform import perform

    score = report.score
    tempo_bpm = choices.tempo_bpm or score.tune.full_tempo_bpm
    options = Options(style=choices.audio.style)
    played = arrange(score, seed=choices.audio.seed, options=options)
    return band_midi(played, perform(score, tempo_bpm))


def check_file(report: Report) -> bytes:
    """The report as JSON."""
    from reedwright.check.as_json import report_json

    return (json.dumps(report_json(report), indent=2, ensure_ascii=False) + "\n").encode("utf-8")


def chart_file(report: Report) -> bytes:
    """The chart of the tune's harp in its position."""
    from reedwright.harp.chart_svg import chart_svg

    tune = report.score.tune
    return chart_svg(tune.harp, tune.position).encode("utf-8")


def print_file(report: Report, choices: Choices, *, large: bool = False) -> bytes:
    """The printed sheet as PDF."""
    return _print(_document(report, choices, large=large))


def page_files(report: Report, choices: Choices) -> tuple[bytes, ...]:
    """The printed sheet as SVG, page by page."""
    return _pages(_document(report, choices))


def _print(document: SheetDocument) -> bytes:
    from reedwright.sheet.typeset import typeset

    return typeset(document)


def _pages(document: SheetDocument) -> tuple[bytes, ...]:
    from reedwright.sheet.pages import page_pictures

    return tuple(page.encode("utf-8") for page in page_pictures(document))


def _document(report: Report, choices: Choices, *, large: bool = False) -> SheetDocument:
    from reedwright.sheet.engrave import engrave_parted
    from reedwright.sheet.lesson import sheet_document
    from reedwright.sheet.typeset import LARGE_BARS_PER_LINE, LARGE_SCALE

    options = replace(options_of(report, choices), remarks=False)  # they stand below the music
    if large:
        options = replace(options, bars_per_line=LARGE_BARS_PER_LINE)
    systems = engrave_parted(_musicxml(report, options), scale=LARGE_SCALE if large else 1.0)
    return sheet_document(report.score, systems, options, paper=choices.paper, large=large)


def musicxml_file(report: Report, choices: Choices) -> bytes:
    """The music as MusicXML 4.0."""
    return _musicxml(report, options_of(report, choices)).encode("utf-8")


def midi_file(report: Report, choices: Choices) -> bytes:
    """The music as MIDI, swing written out, with the count-in."""
    from reedwright.sheet.midi import midi_bytes

    return midi_bytes(report.score, choices.tempo_bpm, clicks=True)


def text_file(report: Report, choices: Choices) -> bytes:
    """The sheet as plain text in UTF-8."""
    from reedwright.sheet.text import sheet_text

    return sheet_text(report.score, options_of(report, choices)).encode("utf-8")


def options_of(report: Report, choices: Choices) -> SheetOptions:
    """The sheet room's options, with the breaths of the breath room's plan."""
    from reedwright.breath.of_tune import breath_marks

    tempo_bpm = choices.tempo_bpm or report.score.tune.full_tempo_bpm
    marks = breath_marks(report.score, tempo_bpm)
    return SheetOptions(tab=choices.tab, tempo_bpm=choices.tempo_bpm, breath_marks=marks)


def _musicxml(report: Report, options: SheetOptions) -> str:
    from reedwright.sheet.musicxml import musicxml

    return musicxml(report.score, options)
