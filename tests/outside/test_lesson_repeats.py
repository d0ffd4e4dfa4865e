"""What repeats what, against comparing everything with everything, and alignment against difflib.

Oracles: every pair of units compared by definitions written here over plain tuples, without hashes
or bounds; and the longest common subsequence by trying every subset. No outside source: the kinds
are our own. `difflib` (the standard library) must never match more notes than the alignment does.
"""

from difflib import SequenceMatcher
from itertools import combinations, pairwise

from hypothesis import given
from hypothesis import strategies as st

from reedwright.lesson.alike import Kind
from reedwright.lesson.repeats import repeats
from reedwright.lesson.shape import Unit
from reedwright.tune.events import Event
from tests.lesson.scores import lick, score_of, units

_TABS = ("2d", "3d", "4d", "4b")
Row = tuple[tuple[object, ...], ...]

small_licks = st.lists(
    st.lists(st.sampled_from([*_TABS, ".", "2d&3d"]), min_size=4, max_size=8)
    .map(lambda cells: cells + ["."] * (-len(cells) % 4))
    .filter(lambda cells: set(cells) != {"."}),
    min_size=2,
    max_size=5,
)
"""Few units and few different notes, so that likenesses are many and no bound is reached."""


def written(cells: list[str]) -> str:
    return " | ".join(" ".join(cells[bar : bar + 4]) for bar in range(0, len(cells), 4))


def rows(events: tuple[Event, ...]) -> Row:
    """Each note as (tab, length, silence before it)."""
    rests = [0, *(b.start - a.end for a, b in pairwise(events))]
    return tuple((e.sound.reeds, e.length, rest) for e, rest in zip(events, rests, strict=True))


def opening(one: Row, other: Row) -> int:
    return max(n for n in range(min(len(one), len(other)) + 1) if one[:n] == other[:n])


def ending(one: Row, other: Row, most: int) -> int:
    """The longest shared end, the silence before its first note left out."""

    def end(row: Row, count: int) -> Row:
        tail = row[len(row) - count :]
        return ((*tail[0][:2], 0), *tail[1:]) if tail else ()

    return max(n for n in range(most + 1) if end(one, n) == end(other, n))


def best_ends(found: list[Unit], place: int) -> tuple[int, int]:
    """The most notes any earlier, different unit shares with this one, at the start and the end."""
    row = rows(found[place].events)
    starts, ends = [0], [0]
    for earlier in found[:place]:
        other = rows(earlier.events)
        start = opening(other, row)
        starts.append(start)
        ends.append(ending(other, row, min(len(row), len(other)) - start))
    return max(starts), max(ends)


def one_note_apart(one: Row, other: Row) -> bool:
    """Whether changing, dropping or putting in one note makes them the same, three staying."""
    most = max(len(one), len(other))
    if one == other or abs(len(one) - len(other)) > 1:
        return False
    for start in range(min(len(one), len(other)) + 1):
        for end in range(min(len(one), len(other)) - start + 1):
            fits = opening(one, other) >= start and ending(one, other, end) >= end
            if fits and start + end >= max(3, most - 1):
                return True
    return False


@given(small_licks)
def test_nothing_is_missed_among_few_licks(licks: list[list[str]]) -> None:
    found = list(units(*map(written, licks)))
    harp = score_of(lick("2d . . .")).tune.harp
    told: dict[str, dict[Kind, int]] = {}
    for relation in repeats(found, harp, 4):
        told.setdefault(relation.later, {})[relation.kind] = len(relation.pairs)
    for place, unit in enumerate(found):
        row, said = rows(unit.events), told.get(unit.id, {})
        earlier = [rows(other.events) for other in found[:place]]
        assert (Kind.IDENTICAL in said) == (row in earlier)
        if row in earlier:
            assert set(said) == {Kind.IDENTICAL}
            continue
        assert (Kind.ONE_NOTE in said) == any(one_note_apart(other, row) for other in earlier)
        if not {Kind.ONE_NOTE, Kind.ONE_BAR, Kind.NEARLY} & set(said):
            start, end = best_ends(found, place)
            assert said.get(Kind.OPENING, 0) == (start if start >= 3 else 0)
            assert said.get(Kind.ENDING, 0) == (end if end >= 3 else 0)
        rhythms = [
            [(event.start - other.events[0].start, event.length) for event in other.events]
            for other in (*found[:place], unit)
        ]
        same = len(row) >= 3 and rhythms[-1] in rhythms[:-1]
        assert (Kind.RHYTHM in said) == same


@given(small_licks)
def test_alignment_keeps_as_many_notes_as_can_be_kept(licks: list[list[str]]) -> None:
    found = units(*map(written, licks[:2]))
    for relation in repeats(found, score_of(lick("2d . . .")).tune.harp, 4):
        if relation.kind is not Kind.NEARLY:
            continue
        one, other = (rows(unit.events) for unit in found)
        matched = SequenceMatcher(None, one, other, autojunk=False).get_matching_blocks()
        assert len(relation.pairs) >= sum(block.size for block in matched)
        most = len(one)
        while not any(is_inside(chosen, other) for chosen in combinations(one, most)):
            most -= 1
        assert len(relation.pairs) in (most, most + 1)  # + 1: an ending after another silence


def is_inside(wanted: Row, row: Row) -> bool:
    rest = iter(row)
    return all(any(one == note for one in rest) for note in wanted)
