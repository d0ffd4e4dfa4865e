"""What stands over the staff: tempo, names and words in one row, chords below them.

Read back from engraved pictures; no outside source.
"""

import re

import pytest

from reedwright.sheet.engrave import engrave
from reedwright.sheet.glyphs import text_width
from tests.sheet.scores import LONG, chord, direction, feel, notes, rehearsal, score, tempo, words
from tests.sheet.svg_reader import Picture, Text, read_picture

GAP = "\u2003"


def line_of(*bars: str) -> Picture:
    (svg,) = engrave(score(list(bars), pickup=False))
    return read_picture(svg)


def label_of(line: Picture, start: str) -> Text:
    return next(text for text in line.texts if text.said.startswith(start))


def test_a_name_and_the_words_after_it_are_one_label_above_the_chord() -> None:
    line = line_of(rehearsal("Call") + words("cup closed") + words("loud") + chord("G") + LONG)
    label = label_of(line, "Call")
    assert [span["said"] for span in label.spans] == ["cup closed, loud"]
    assert label.spans[0]["font-style"] == "italic"
    assert label.y < line.text("G7").y - 400


def test_dynamics_are_said_in_words() -> None:
    line = line_of(rehearsal("Call") + direction("<dynamics><ff/></dynamics>") + LONG)
    assert label_of(line, "Call").spans[0]["said"] == "very loud"


def test_several_names_are_parted_by_dots() -> None:
    assert "Chorus 1 · Call" in line_of(rehearsal("Chorus 1") + rehearsal("Call") + LONG).said


def test_words_in_the_middle_of_a_bar_stand_over_their_note() -> None:
    line = line_of(notes("G4:24 −2") + words("cup open") + notes("B4:24 −3"))
    assert line.text("cup open").x == pytest.approx(line.tab[1].head, abs=60)


def test_the_tempo_has_a_note_of_the_music_font_and_the_feel_beside_it() -> None:
    line = line_of(tempo(84) + feel("Shuffle") + LONG)
    label = label_of(line, "♩")
    assert (label.spans[0]["said"], label.spans[0]["font-family"]) == ("♩", "Leipzig")
    assert label.spans[1]["said"] == "= 84, Shuffle"
    assert label.x == 0


def test_the_dot_of_a_tempo_stands_clear_of_its_note() -> None:
    plain, dotted = (
        label_of(line_of(tempo(56, dot=dot) + LONG), "♩").spans for dot in (False, True)
    )
    assert [span["said"] for span in dotted] == ["♩", ".", "= 56"]
    assert dotted[1]["font-family"] == "Leipzig"
    head = 302 * 640 / 1000  # the quarter note of Leipzig at the size it has here
    assert float(dotted[1]["x"]) > head + 40
    assert float(dotted[2]["x"]) > float(plain[1]["x"]) + 62


def test_only_a_feel_joins_the_tempo_and_other_words_stand_for_themselves() -> None:
    line = line_of(tempo(84) + feel("Shuffle") + words("cup closed") + LONG)
    assert label_of(line, "♩").spans[1]["said"] == "= 84, Shuffle"
    assert line.text("cup closed").style == "italic"


def test_a_label_keeps_clear_of_high_notes_and_of_the_key_signature() -> None:
    high = notes(*["G6:6 10"] * 8)
    line = line_of(tempo(84) + words("a long remark that reaches over the notes") + high)
    heads = [float(y) for _, d in line.paths for y in re.findall(r"M\S+ (\S+) L", d)]
    label = label_of(line, "a long")
    assert label.y < min(heads) - 50


def test_a_tempo_stands_above_a_name_it_would_push_aside() -> None:
    line = line_of(tempo(104) + feel("Swing 1.5:1") + rehearsal("Chorus 1") + chord("G") + LONG)
    mark, name, symbol = (label_of(line, start) for start in ("♩", "Chorus", "G"))
    assert mark.x == 0
    assert mark.y < name.y < symbol.y
    assert name.x == pytest.approx(symbol.x, abs=60)


def test_a_tempo_stands_beside_a_name_where_there_is_room() -> None:
    line = line_of(tempo(104) + LONG, rehearsal("Call") + LONG)
    assert label_of(line, "♩").y == label_of(line, "Call").y


def test_names_keep_to_their_notes() -> None:
    line = line_of(
        rehearsal("A lick whose name is rather too long") + LONG, rehearsal("Call") + LONG
    )
    starts = sorted(each.head for each in line.tab)
    assert any(label_of(line, "Call").x == pytest.approx(head, abs=60) for head in starts)


def test_all_chords_of_a_line_stand_at_one_height() -> None:
    line = line_of(chord("C") + LONG, chord("F") + notes("Bb6:48 10"), chord("G") + LONG)
    assert len({line.text(name).y for name in ("C7", "F7", "G7")}) == 1


def test_a_chord_keeps_clear_of_the_accidental_of_a_high_note() -> None:
    plain, flat = (
        line_of(chord("C") + notes(f"{pitch}:48 10")).text("C7") for pitch in ("B6", "Bb6")
    )
    assert flat.y < plain.y


def test_degrees_of_a_chord_have_real_signs() -> None:
    altered = chord("A", "half-diminished").replace("<kind>", '<kind text="m7b5">')
    assert "Am7♭5" in line_of(altered + LONG).said


def test_labels_that_would_meet_go_up_a_row() -> None:
    names = [f"Lick number {number} with a long name" for number in range(4)]
    line = line_of(*(rehearsal(name) + chord("G") + LONG for name in names))
    labels = [line.text(name) for name in names]
    for at, one in enumerate(labels):
        for other in labels[at + 1 :]:
            end = one.x + text_width(one.said, one.size, bold=True)
            assert one.y != other.y or end < other.x
    assert len({label.y for label in labels}) > 1


def test_a_label_near_the_end_of_the_line_moves_left_to_stay_in_the_picture() -> None:
    line = line_of(LONG, LONG, LONG, rehearsal("W" * 500) + words("m" * 500) + LONG)
    label = label_of(line, "W")
    words_span = label.spans[0]
    assert label.said.count("…") == 2
    end = float(words_span["x"]) + text_width(words_span["said"], label.size)
    assert label.x >= 0
    assert end <= line.box[2]
    assert line.box[1] <= label.y - 300


def test_chord_symbols_are_readable_text_with_real_accidentals() -> None:
    second = chord("F", "minor-seventh", alter=1) + LONG
    line = line_of(chord("B", alter=-1) + LONG, second)
    assert {"B♭7", "F♯m7"} <= set(line.said)


def test_an_accidental_is_set_in_the_plain_font_which_alone_has_it() -> None:
    text = line_of(chord("B", alter=-1) + LONG).text("B♭7")
    assert text.weight == "600"
    flat, seven = text.spans
    assert (flat["said"], flat["font-weight"]) == ("♭", "400")
    after_b = text.x + text_width("B", text.size, bold=True)
    assert float(flat["x"]) == pytest.approx(after_b, abs=1)
    assert float(seven["x"]) == pytest.approx(after_b + text_width("♭", text.size), abs=1)
