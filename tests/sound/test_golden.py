"""Recordings sound as they did, unless a recipe number says otherwise."""

from __future__ import annotations

import json
from itertools import zip_longest

from tests.sound.golden import PATH, measured

NEAR = 2
"""Tenths of a decibel: the fast arithmetic of number loops differs between processors."""


def test_output_does_not_move_without_a_new_recipe_number() -> None:
    kept, now = json.loads(PATH.read_text(encoding="utf-8")), measured()
    advice = "raise the recipe number of the stage that changed, then python -m tests.sound.golden"
    assert kept["recipes"] == now["recipes"], advice
    assert kept["levels"].keys() == now["levels"].keys()
    moved = {
        name: [
            place
            for place, (one, other) in enumerate(
                zip_longest(rows, now["levels"][name], fillvalue=0)
            )
            if abs(one - other) > NEAR
        ]
        for name, rows in kept["levels"].items()
    }
    assert {name: places for name, places in moved.items() if places} == {}, advice
