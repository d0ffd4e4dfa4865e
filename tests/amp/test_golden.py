"""The amplifier's samples do not move without a new recipe number."""

from __future__ import annotations

import json

import numpy as np

from tests.amp.golden import FILE, made


def test_the_samples_are_those_of_this_recipe() -> None:
    """Within five millionths, which another processor's rounding does not reach."""
    kept, now = json.loads(FILE.read_text(encoding="utf-8")), made()
    assert now["recipe"] == kept["recipe"], "run `python -m tests.amp.golden`"
    for name, samples in kept["millionths"].items():
        moved = np.abs(np.subtract(samples, now["millionths"][name]))  # type: ignore[index]
        assert moved.max() <= 5, f"{name}: raise RECIPE and run `python -m tests.amp.golden`"
