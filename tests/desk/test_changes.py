"""Changes as a browser counts them, against Python's own UTF-16."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.desk.changes import Change, changed, whole
from reedwright.desk.faults import DeskError

TEXT = st.text(st.sampled_from("ab\n\u00e9\U0001f3b5"), max_size=12)


@given(TEXT, TEXT, TEXT, TEXT)
def test_a_change_puts_its_text_between(before: str, old: str, after: str, new: str) -> None:
    units = [len(part.encode("utf-16-le")) // 2 for part in (before, old)]
    change = Change(units[0], sum(units), new)
    assert changed(before + old + after, (change,)) == before + new + after


def test_changes_follow_each_other() -> None:
    assert changed("abc", (Change(0, 1, "xy"), Change(2, 3, ""))) == "xyc"


@pytest.mark.parametrize("text", ["abc", "\u00e9bc", ""])
def test_places_outside_are_refused(text: str) -> None:
    for start, end in ((0, 4), (2, 1), (4, 4)):
        with pytest.raises(DeskError, match="lies within the text"):
            changed(text, (Change(start, end, ""),))


def test_half_a_sign_is_refused() -> None:
    with pytest.raises(DeskError, match="half of a sign"):
        changed("\U0001f3b5", (Change(0, 1, ""),))
    with pytest.raises(DeskError, match="half of a sign"):
        whole("\ud83c")


def test_lines_end_one_way() -> None:
    assert whole("a\r\nb\rc\n") == "a\nb\nc\n"


def test_no_text_is_longer_than_a_tune() -> None:
    with pytest.raises(DeskError, match="longer text than a tune"):
        whole("x" * 4_000_001)
    with pytest.raises(DeskError, match="longer text than a tune"):
        whole("\u00e9" * 2_000_001)
