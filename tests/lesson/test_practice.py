"""The work on a piece: by hand, and what can only make it less."""

import pytest

from reedwright.lesson.alike import Kind
from reedwright.lesson.practice import practice, practices
from reedwright.lesson.repeats import repeats
from reedwright.lesson.settings import lesson_table
from tests.lesson.scores import lick, score_of, units

FRESH = lesson_table()["fresh"]
HARP = score_of(lick("2d . . .")).tune.harp


def test_a_new_piece_is_all_new() -> None:
    (unit,) = units("2d 3d 4d 5d")
    found = practice(unit, (), 50.0, FRESH)
    assert (found.notes, found.new_notes, found.effort, found.fresh) == (4, 4.0, 12.0, 1.0)


def test_a_known_opening_is_less_work() -> None:
    found = units("2d 3d 4d 5d", "2d 3d 4d 9b | 9d 9b 10b 9b")
    relations = repeats(found, HARP, 4)
    assert [one.kind for one in relations] == [Kind.OPENING]
    done = practices(found, relations, [0.0, 25.0], FRESH)
    assert [one.new_notes for one in done] == pytest.approx([4.0, 3 * 0.3 + 5])
    assert done[1].effort == pytest.approx((3 * 0.3 + 5) * 2)


def test_the_least_freshness_of_a_note_counts_and_identical_is_nearly_nothing() -> None:
    found = units("2d 3d 4d 5d", "2d 3d 4d 6d", "2d 3d 4d 5d")
    relations = repeats(found, HARP, 4)
    done = practices(found, relations, [0.0] * 3, FRESH)
    # one note changed in the same rhythm: three known, the fourth with its rhythm known
    assert [one.new_notes for one in done] == pytest.approx([4.0, 3 * 0.2 + 0.7, 4 * 0.1])


def test_more_relations_are_never_more_work() -> None:
    found = units("2d 3d 4d 5d", "2d 3d 4d 6d", "5d 3d 4d 6d")
    relations = repeats(found, HARP, 4)
    for unit in found:
        for some in range(len(relations) + 1):
            fewer = practice(unit, relations[:some], 30.0, FRESH).effort
            assert practice(unit, relations, 30.0, FRESH).effort <= fewer


def test_kinds_and_weights_have_the_same_names() -> None:
    assert {kind.value for kind in Kind} == set(FRESH) - {"harder-by"}
