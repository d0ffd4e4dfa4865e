"""Output never moves without a new recipe number (`python -m tests.pack.golden` after that)."""

from __future__ import annotations

import pytest

from reedwright.pack.contents import contents
from reedwright.pack.recipes import RECIPES
from tests.pack import golden


@pytest.fixture(scope="module")
def now() -> dict[str, dict[str, object]]:
    return golden.current()


@pytest.mark.parametrize("recipe", RECIPES)
def test_a_recipe_makes_what_it_made(recipe: str, now: dict[str, dict[str, object]]) -> None:
    if recipe in golden.ENGRAVED and not golden.same_libraries():
        pytest.skip("other versions of the libraries than the fingerprints were made with")
    assert now[recipe] == golden.stored()[recipe]


def test_every_file_has_a_recipe_and_every_recipe_a_file() -> None:
    tune = next(golden.HERE.glob("golden-*.reed"))
    made = {golden.recipe_of(name) for name, _ in contents(golden._report(tune), golden.CHOICES[0])}
    assert made == set(RECIPES)


def test_a_move_under_an_old_number_is_seen() -> None:
    old = {"midi": {"recipe": 1, "sha256": "a"}, "text": {"recipe": 1, "sha256": "a"}}
    new = {"midi": {"recipe": 1, "sha256": "b"}, "text": {"recipe": 2, "sha256": "b"}}
    assert golden.moved(old, new) == ["midi"]
    assert golden.moved(old, old) == []
