"""What stands over the bars: a lick is named where its first sound is."""

import re

from reedwright.sheet.headings import chorus_with_pickup, headings, pickup_names
from reedwright.sheet.musicxml import musicxml
from reedwright.sheet.prepare import prepare
from reedwright.sheet.text import sheet_text
from reedwright.tune.place import Score, place
from reedwright.tune.read import read_tune

HEAD = """\
Title: Names
Harp: C
Position: 2

Lick Call
0: . . . 2d
1: 4d . . .
2: . . . .

Lick Empty
0: . . . .
1: 4d . . .

Chorus
"""


def score(*entries: str) -> Score:
    return place(read_tune(HEAD + "\n".join(entries) + "\n"))


def named(of: Score) -> dict[int, tuple[str, ...]]:
    return {bar: heading.licks for bar, heading in headings(of).items() if heading.licks}


def test_a_pickup_carries_the_name() -> None:
    tune = score("1 Call", "3 Call")
    assert pickup_names(tune) == {0: (0, "Call"), 2: (2, "Call")}
    assert named(tune) == {}


def test_a_cut_or_silent_pickup_leaves_the_name_over_bar_1() -> None:
    tune = score("1 Call, from bar 1", "3 Empty")
    assert pickup_names(tune) == {}
    assert named(tune) == {0: ("Call",), 2: ("Empty",)}


def test_what_is_played_again_at_once_is_named_once() -> None:
    assert pickup_names(score("1 Call, 2 times")) == {0: (0, "Call, 2 times")}


def test_printed_bars_count_inside_their_chorus() -> None:
    tune = place(read_tune(HEAD.replace("Title", "Form: G | G | C | G\nTitle") + "1 Call\n"))
    two = place(read_tune(HEAD.replace("Title", "Form: G\nTitle") + "1 Empty\n\nChorus\n1 Empty\n"))
    assert [line.title for line in prepare(musicxml(tune)).lines] == ["Bars 0 to 4"]
    ready = prepare(musicxml(two), bars_per_line=1)
    numbers = re.findall(r'<measure number="([0-9]+)"', ready.musicxml)
    assert numbers == ["1", "1"]


def test_the_first_chorus_is_named_with_the_pickup_before_it() -> None:
    two = HEAD.replace("Title", "Form: G | C\nTitle") + "1 Call\n\nChorus\n1 Call\n"
    tune = place(read_tune(two))
    assert chorus_with_pickup(tune)
    assert [bar for bar, heading in headings(tune).items() if heading.chorus] == [2]
    assert not chorus_with_pickup(score("1 Call"))
    names = re.findall(r"<rehearsal[^>]*>([^<]*)<", musicxml(tune))
    assert names == ["Chorus 1", "Call", "Call", "Chorus 2"]


def test_lines_are_called_by_their_chorus_where_there_are_several() -> None:
    two = HEAD.replace("Title", "Form: G | G | C\nTitle") + "1 Call\n\nChorus\n1 Call\n"
    made = musicxml(place(read_tune(two)))
    lines = prepare(made).lines
    assert [(line.title, line.number) for line in lines] == [
        ("Chorus 1, bars 0 to 3", ""),
        ("Chorus 2, bars 1 to 3", "1"),
    ]
    four = [line.title for line in prepare(made, bars_per_line=4).lines]
    assert four == ["Chorus 1, bar 0, to chorus 2, bar 1", "Chorus 2, bars 2 to 3"]


REST_FIRST = """\
Title: Rest first
Harp: C
Position: 2

Lick Call (cup closed, loud)
1: . 4d . .
2: . {soft} 4d . 4b

Chorus
1 Call
"""


def test_manner_stands_beside_the_name_though_the_bar_begins_with_a_rest() -> None:
    made = musicxml(place(read_tune(REST_FIRST)))
    first, second = made.split("</measure>")[:2]
    order = [first.index(part) for part in (">Call<", ">cup closed<", "<f/>", "<rest/>")]
    assert order == sorted(order)
    assert second.index("<rest/>") < second.index("<p/>")
    assert made.count("<dynamics>") == 2


def test_plain_text_says_it_alike() -> None:
    rows = sheet_text(place(read_tune(REST_FIRST))).split("\n")
    at = rows.index("     Call (cup closed, loud)")
    assert rows[at - 1] == "                  (soft)"  # over the second draw
    assert rows[at + 1 : at + 3] == ["     1 2  3 4 | 1 2  3 4 |", "  1  . -4 . . | . -4 . 4 |"]
