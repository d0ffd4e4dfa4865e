"""Two texts joined: both changes are there, or neither is chosen for the writer."""

from hypothesis import given
from hypothesis import strategies as st

from reedwright.desk.merge import merged

LINES = st.lists(st.sampled_from("abcd"), max_size=8).map("\n".join)


def test_far_changes_are_joined() -> None:
    base = "1\n2\n3\n4\n5"
    assert merged(base, "one\n2\n3\n4\n5", "1\n2\n3\n4\nfive") == "one\n2\n3\n4\nfive"
    assert merged(base, "1\n2\n3\n4\n5\n6", "0\n1\n2\n3\n4\n5") == "0\n1\n2\n3\n4\n5\n6"


def test_changes_that_meet_are_nobodys_to_choose() -> None:
    assert merged("1\n2\n3", "1\ntwo\n3", "1\nzwei\n3") is None
    assert merged("1\n2\n3", "1\ntwo\n3", "1\n2\nthree") is None  # side by side
    assert merged("1\n2", "1\nx\n2", "1\ny\n2") is None  # put in at one place


def test_a_change_made_twice_is_made_once() -> None:
    assert merged("1\n2\n3\n4", "1\ntwo\n3\n4", "1\ntwo\n3\n4") == "1\ntwo\n3\n4"
    assert merged("1\n2\n3\n4", "x\n2\n3\n4", "x\n2\n3\nfour") == "x\n2\n3\nfour"


@given(LINES, LINES)
def test_one_writer_alone_wins(base: str, mine: str) -> None:
    assert merged(base, mine, base) == mine
    assert merged(base, base, mine) == mine
    assert merged(base, mine, mine) == mine


@given(LINES, LINES, LINES)
def test_sides_do_not_matter(base: str, mine: str, theirs: str) -> None:
    assert merged(base, mine, theirs) == merged(base, theirs, mine)


def test_long_texts_are_left_to_the_writer() -> None:
    long = "\n" * 30_000
    assert merged(long, long + "a", "b" + long) is None
