"""The ladder of techniques, and what a sound asks for."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.errors import TuneError
from reedwright.harp.harp import harp_named
from reedwright.tune.marks import MarkKind
from reedwright.tune.techniques import ladder, read_ladder, techniques_of
from reedwright.tune.tokens import parse_sound
from reedwright.tune.values import Sound
from tests.strategies import C_HARP, playable_sounds

ids = st.sets(st.sampled_from(list(ladder().techniques)))


@given(ids)
def test_what_is_had_brings_what_it_needs(some: set[str]) -> None:
    have = ladder().with_needs(some)
    assert some <= have
    assert all(set(ladder().techniques[one].needs) <= have for one in have)
    assert ladder().with_needs(have) == have


@given(ids, ids)
def test_what_is_not_had_takes_what_needs_it(some: set[str], lacking: set[str]) -> None:
    have = ladder().with_needs(some) - ladder().needing(lacking)
    assert not have & lacking
    assert all(set(ladder().techniques[one].needs) <= have for one in have)


def test_levels_grow() -> None:
    steps = [ladder().of_level(level) for level in ladder().levels]
    assert all(a < b for a, b in pairwise(steps))
    assert steps[-1] == set(ladder().techniques)
    with pytest.raises(TuneError, match=r"unknown level 'stedy'.* Mend: did you mean steady\?"):
        ladder().of_level("stedy")


def test_by_name() -> None:
    steps = ladder()
    have = steps.of_level("beginner") | steps.with_needs([steps.named("3d''")])
    assert have - steps.needing([steps.named("chord rhythm")]) == {
        "single-notes", "hand-wah", "4d'", "2d'", "3d'", "3d''",
    }  # fmt: skip


@given(playable_sounds())
def test_every_playable_sound_is_on_the_ladder(sound: Sound) -> None:
    found = techniques_of(sound, C_HARP)
    assert found
    assert set(found) <= set(ladder().techniques)


@pytest.mark.parametrize(
    ("token", "found"),
    [
        ("4d", ("single-notes",)),
        ("3d''", ("single-notes", "3d''")),
        ("1+2d", ("chord-rhythm",)),
        ("1+2+3+4d", ("wide-chords",)),
        ("1+4d", ("splits",)),
        ("4x5d", ("shake",)),
        ("6bo", ("single-notes", "overblows")),
        ("7do", ("single-notes", "overdraws")),
        ("10b''", ("single-notes", "10b''")),
        (r"/4dvh\!", ("single-notes", "hand-vibrato", "dip", "fall", "throat-vibrato")),
    ],
)
def test_what_a_sound_asks_for(token: str, found: tuple[str, ...]) -> None:
    assert set(techniques_of(parse_sound(token), C_HARP)) == set(found)


def test_other_harps() -> None:
    slide = harp_named("C", "slide")
    assert techniques_of(parse_sound("3b*"), slide) == ("single-notes", "button")
    country = harp_named("C", "country")
    assert techniques_of(parse_sound("5d'"), country) == ("single-notes", "other-bends")
    valved = harp_named("C", "half-valved Richter")
    assert "valved-bends" in techniques_of(parse_sound("4b'"), valved)


def test_every_mark_of_playing_is_a_technique() -> None:
    found = techniques_of(parse_sound(r"(/3>6bvhwfspt\!)"), C_HARP)
    silent = {MarkKind.ACCENT, MarkKind.GHOST}
    assert len(found) == len(set(MarkKind) - silent) + 1


@pytest.mark.parametrize(
    "text",
    [
        "", "levels = []", "levels = 3\n[technique.x]", "[technique]\nx = 1",
        'levels=["a"]\n[technique.x]\nname="x"\nlevel="b"\ndifficulty=1',
        'levels=["a"]\n[technique.x]\nname="x"\nlevel="a"\ndifficulty=1\nneeds=["y"]',
        'levels=["a"]\n[technique.x]\nname="x"\nlevel="a"\ndifficulty="hard"',
        "x = " + "[" * 10_000,
    ],
    ids=lambda text: text[:30],
)  # fmt: skip
def test_no_ladder(text: str) -> None:
    with pytest.raises(TuneError):
        read_ladder(text)
