"""A line of music parted into picture and lettering: nothing is lost, nothing is left behind."""

import re

import pytest
from lxml import etree

from reedwright.errors import SheetError
from reedwright.sheet.engrave import engrave, engrave_parted
from reedwright.sheet.lettering import part
from reedwright.sheet.svg import TEXT_WIDTH_MM
from tests.sheet.scores import CHORDS, LONG, chord, rehearsal, score, twelve_bars, words
from tests.sheet.svg_reader import read_picture


def test_every_letter_goes_over_and_none_stays() -> None:
    for svg in engrave(twelve_bars()):
        parted = part(svg)
        letters = "".join(re.sub(r"\s", "", text) for text in read_picture(svg).said)
        assert re.sub(r"\s", "", "".join(piece.text for piece in parted.pieces)) == letters
        assert not list(etree.fromstring(parted.picture).iter("{*}text", "{*}tspan"))


def test_the_engraver_parts_its_lines_as_their_pictures_would_be() -> None:
    assert engrave_parted(twelve_bars()) == tuple(map(part, engrave(twelve_bars())))


def test_lettering_stands_where_it_stood() -> None:
    svg = engrave(score([LONG], pickup=False))[0]
    picture, parted = read_picture(svg), part(svg)
    to_mm = TEXT_WIDTH_MM / picture.box[2]
    margin = float(re.search(r'page-margin" transform="translate\([^,]+, ?([\d.]+)', svg)[1])  # type: ignore[index]
    for text, piece in zip(picture.texts, parted.pieces, strict=True):
        assert piece.x_mm == pytest.approx(text.x * to_mm)
        assert piece.y_mm == pytest.approx((text.y - picture.box[1] + margin) * to_mm)
        assert piece.runs[0].size_mm == pytest.approx(text.size * to_mm)
        assert piece.centred == (text.anchor == "middle")
        assert piece.runs[0].bold == (text.weight == "600")


def test_letters_given_a_place_of_their_own_are_a_piece_of_their_own() -> None:
    bar = rehearsal("Call") + words("cup closed") + LONG
    pieces = part(engrave(score([bar], pickup=False))[0]).pieces
    name = next(at for at, piece in enumerate(pieces) if piece.text.startswith("Call"))
    assert pieces[name + 1].text == "cup closed"
    assert pieces[name + 1].x_mm > pieces[name].x_mm + 5
    assert (pieces[name].runs[0].italic, pieces[name + 1].runs[0].italic) == (False, True)


def test_accidentals_are_plain_beside_bold_letters() -> None:
    pieces = part(engrave(score([chord("B", alter=-1) + LONG], pickup=False))[0]).pieces
    said = [(run.text, run.bold) for piece in pieces for run in piece.runs]
    at = said.index(("B", True))
    assert said[at : at + 3] == [("B", True), ("♭", False), ("7", True)]


def test_a_line_is_read_out_with_the_holes_of_a_chord_together_and_without_its_number() -> None:
    lines = engrave(score([LONG] * 4 + [chord("C") + CHORDS], pickup=False))
    assert part(lines[1]).spoken == "C7 −3+−2+−1 3+2+1 −2+−1 1–4"
    assert part(lines[1]).title == "Bar 5"


def test_the_picture_reaches_out_to_nothing_around_it() -> None:
    picture = part(engrave(twelve_bars())[0]).picture
    assert "<style" not in picture
    assert "class=" not in picture.replace('class="definition-scale"', "")


def test_what_is_no_line_of_music_is_refused() -> None:
    for svg in ("<svg", "", "<svg/>", '<svg xmlns="http://www.w3.org/2000/svg"/>'):
        with pytest.raises(SheetError, match="could not be set in type"):
            part(svg)
