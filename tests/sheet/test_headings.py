"""What stands over the bars: a lick is named where its first sound is."""

import re

from reedwright.sheet.headings import headings, pickup_names
from reedwright.sheet.musicxml import musicxml
from reedwright.sheet.prepare import prepare
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
