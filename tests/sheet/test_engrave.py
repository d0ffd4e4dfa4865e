"""The engraver: lines of music, tab under its notes, counts, the same bytes every time.

The pictures are read back as SVG; nothing is compared with stored pictures, so that a new version
of the engraver may move a note. What a page looks like was checked by eye; no outside source.
"""

import hashlib
import re
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from itertools import pairwise

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from reedwright.errors import SheetError
from reedwright.sheet.engrave import engrave
from reedwright.sheet.glyphs import text_width
from tests.sheet.scores import (
    CHORDS,
    LONG,
    PICKUP,
    RUN,
    TRIPLET,
    Written,
    notes,
    rehearsal,
    score,
    tokens,
    twelve_bars,
    words,
)
from tests.sheet.svg_reader import Picture, read_picture

HALF_HEAD = 113  # half a black note head, in the engraver's lengths


def lines_of(*bars: str, pickup: bool = False) -> list[Picture]:
    return [read_picture(svg) for svg in engrave(score(list(bars), pickup=pickup))]


# ---- tab ---------------------------------------------------------------------------------------


def test_the_tab_reads_in_the_order_it_is_played_top_line_first() -> None:
    bars = (PICKUP, LONG, CHORDS, TRIPLET, RUN)
    read = [text.said for line in lines_of(*bars, pickup=True) for text in line.tab]
    assert read == tokens(*bars)


def test_every_tab_sign_stands_in_the_middle_below_its_note() -> None:
    signs = [text for svg in engrave(twelve_bars()) for text in read_picture(svg).tab]
    assert len(signs) > 70
    for text in signs:
        assert text.x == pytest.approx(text.head + HALF_HEAD, abs=50)


def test_the_holes_of_a_chord_are_stacked_with_the_top_hole_above() -> None:
    (line,) = lines_of(CHORDS)
    heights = [text.y for text in line.tab[:3]]
    assert [text.said for text in line.tab[:3]] == ["−3", "−2", "−1"]
    assert all(below - above > 300 for above, below in pairwise(heights))


def test_single_notes_stand_on_the_top_line_of_tab() -> None:
    (line,) = lines_of(CHORDS, LONG)
    assert line.text("−4′").y == line.tab[0].y


DENSE = notes(*["Bb4:6 −3′"] * 8)
WIDE = notes(*["C4+E4+G4+C5:6 −10–12"] * 8)


@pytest.mark.parametrize(("bar", "smallest"), [(LONG, 470), (DENSE, 400), (WIDE, 320)])
def test_tab_signs_never_touch_because_dense_music_gets_smaller_ones(
    bar: str, smallest: float
) -> None:
    (line,) = lines_of(PICKUP, bar, bar, bar, bar, pickup=True)
    assert len({text.size for text in line.tab}) == 1
    assert line.tab[0].size >= smallest
    rows: dict[float, list[tuple[float, float]]] = {}
    for text in line.tab:
        half = text_width(text.said, text.size, bold=True) / 2
        rows.setdefault(text.y, []).append((text.x, half))
    for row in rows.values():
        for (x, half), (next_x, next_half) in pairwise(sorted(row)):
            assert x + half < next_x - next_half


def test_one_dense_line_leaves_the_tab_of_the_others_at_its_size() -> None:
    plain, dense = lines_of(*[LONG] * 4, *[WIDE] * 4)
    assert plain.tab[0].size == pytest.approx(470)
    assert dense.tab[0].size < 400


def test_words_on_technique_beside_one_another_are_well_apart() -> None:
    bar = notes(*(Written("G4:12 −2", technique=word) for word in ("wah ×2", "flutter") * 2))
    (line,) = lines_of(bar, bar, bar, bar)
    said = [text for text in line.texts if text.said in {"wah ×2", "flutter"}]
    for text, after in pairwise(said):
        if text.y == after.y:
            widths = text_width(text.said, text.size) + text_width(after.said, after.size)
            assert after.x - text.x >= widths / 2 + 250


def test_arrows_are_lower_than_a_line_of_tab_so_that_stacks_part() -> None:
    (line,) = lines_of(notes("D4+G4:48 ↓2/↓1"))
    upper, lower = line.tab
    assert (upper.said, upper.spans[0]["said"]) == ("↓2", "↓")
    # the arrow's ink is 0.95 of its type size high, measured in the font
    assert 0.95 * float(upper.spans[0]["font-size"]) < lower.y - upper.y


# ---- counts, words on technique, glides ----------------------------------------------------------


def test_counts_stand_on_one_line_under_notes_and_rests_alike() -> None:
    counted = ("r:12", "r:12", "G4:12 −2", "D4+G4:12 −2/−1")
    bar = notes(*(Written(text, count=str(at)) for at, text in enumerate(counted, 1)))
    (line,) = lines_of(bar)
    assert len({line.text(count).y for count in "1234"}) == 1
    assert line.text("1").y > line.text("−1").y


def test_a_count_alone_under_a_rest_stands_below_the_staff_inside_the_picture() -> None:
    (line,) = lines_of(notes(Written("r:48", count="1")))
    _, top, _, height = line.box
    assert line.text("1").y < top + height
    assert line.text("1").y > max(
        float(found[1]) for _, d in line.paths if (found := re.match(r"M\S+ (\S+) L", d))
    )


def test_a_word_on_technique_stands_right_under_its_own_tab() -> None:
    (line,) = lines_of(CHORDS + notes(Written("G4:24 −2", technique="shake")))
    assert line.text("−1").y > line.text("shake").y > line.text("−2").y


def test_a_word_on_technique_gives_way_to_the_stack_beside_it() -> None:
    bar = notes(Written("G4:4 −2", technique="flutter"), "C4+E4+G4:4 3/2/1", "G4:4 −2", "r:36")
    (line,) = lines_of(bar, RUN, RUN, RUN)
    word = line.text("flutter")
    assert word.y > line.text("1").y
    for text in line.tab:
        if abs(text.y - word.y) < 300:
            widths = text_width(text.said, 470, bold=True) + text_width("flutter", word.size)
            assert abs(text.x - word.x) > widths / 2


def glided(pitch: str, glide: str) -> Picture:
    mark = f"<articulations><{glide}/></articulations>"
    return lines_of(notes(Written(f"{pitch}:48 −4", extra=mark)))[0]


@pytest.mark.parametrize("glide", ["scoop", "plop"])
def test_a_glide_into_a_note_is_drawn_before_its_head(glide: str) -> None:
    line = glided("D5", glide)
    assert line.path_start(glide) < line.tab[0].head


@pytest.mark.parametrize("glide", ["falloff", "doit"])
def test_a_glide_out_of_a_note_is_drawn_after_its_head(glide: str) -> None:
    line = glided("D5", glide)
    assert line.path_start(glide) > line.tab[0].head + 2 * HALF_HEAD


def test_a_glide_into_a_note_keeps_clear_of_its_accidental() -> None:
    plain, flat = glided("B4", "scoop"), glided("Bb4", "scoop")
    room = [line.tab[0].head - line.path_start("scoop") for line in (plain, flat)]
    assert room[1] > room[0] + 150


# ---- the same bytes ----------------------------------------------------------------------------

_DIGEST = """
import hashlib
from tests.sheet.scores import twelve_bars
from reedwright.sheet.engrave import engrave
made = engrave(twelve_bars())
print(hashlib.sha256("".join(made).encode()).hexdigest())
"""


def test_the_same_score_gives_the_same_bytes_in_every_process() -> None:
    engrave(score([RUN]))  # whatever was engraved before must not matter
    here = "".join(engrave(twelve_bars()))
    assert here == "".join(engrave(twelve_bars()))
    there = {
        subprocess.run(
            [sys.executable, "-c", _DIGEST],
            check=True,
            capture_output=True,
            text=True,
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": ":".join(sys.path)},
        ).stdout.strip()
        for seed in ("1", "2")
    }
    assert there == {hashlib.sha256(here.encode()).hexdigest()}


def test_two_different_scores_share_no_ids() -> None:
    first, second = (set(re.findall(' id="([^"]+)"', engrave(score([b]))[0])) for b in (RUN, LONG))
    assert first
    assert not first & second


def test_threads_may_engrave_at_the_same_time() -> None:
    scores = [score([LONG] * bars, pickup=False) for bars in range(1, 9)]
    alone = [engrave(each) for each in scores]
    with ThreadPoolExecutor(8) as pool:
        assert list(pool.map(engrave, scores)) == alone


# ---- what cannot be engraved ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "words_in_error"),
    [
        ("", "not well-formed"),
        ("no score", "not well-formed"),
        ("<score-partwise>", "not well-formed"),
        ("\ud800", "not well-formed"),
        ("<html/>", "only a <score-partwise>"),
        ("<score-partwise/>", "has no bar"),
        ('<score-partwise><part id="P1"/></score-partwise>', "has no bar"),
    ],
)
def test_what_is_no_score_is_refused(text: str, words_in_error: str) -> None:
    with pytest.raises(SheetError, match=words_in_error):
        engrave(text)


def test_settings_out_of_range_are_refused() -> None:
    for scale in (0.0, 9.0, float("nan")):
        with pytest.raises(SheetError, match="scale of the staff"):
            engrave(twelve_bars(), scale=scale)
    with pytest.raises(SheetError, match="at least one bar"):
        engrave(twelve_bars(), bars_per_line=0)


def test_a_score_reads_no_file() -> None:
    entity = '<!DOCTYPE x [<!ENTITY leak SYSTEM "file:///etc/passwd">]><score-partwise'
    evil = score([rehearsal("LEAK") + LONG], pickup=False).replace("LEAK", "a &leak; b")
    assert "root:" not in "".join(engrave(evil.replace("<score-partwise", entity, 1)))


def test_a_bar_without_notes_is_engraved() -> None:
    (line,) = lines_of("", LONG)
    assert line.measures == 2


XML_TEXT = st.text(
    st.characters(codec="utf-8", exclude_categories=["Cc"], exclude_characters="\ufffe\uffff"),
    max_size=80,
)


@example(name="", said_there="", technique="0 0")
@example(name="", said_there="", technique="4à la")
@given(name=XML_TEXT, said_there=XML_TEXT, technique=XML_TEXT)
def test_any_text_can_be_engraved(name: str, said_there: str, technique: str) -> None:
    bar = rehearsal(name) + words(said_there) + notes(Written("G4:48 −2", technique=technique))
    made = score([bar], pickup=False, title=name)
    assert [read_picture(svg).measures for svg in engrave(made)] == [1]
