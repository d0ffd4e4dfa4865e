"""Random tunes for the breath room: as hypothesis strategies, and from a seeded generator."""

import random
from dataclasses import replace
from typing import cast

import pytest
from hypothesis import strategies as st

from reedwright.breath.ledger import Kind, Segment
from reedwright.breath.lungs import Lungs
from reedwright.breath.settings import default_lungs, lungs_from

LUNGS = default_lungs()
# How often draws, blows and open segments come: even, draw-heavy, blow-heavy, hardly any rest.
_MIXES = ((1, 1, 1), (6, 1, 2), (1, 6, 2), (4, 4, 1), (8, 1, 0), (1, 8, 0))
_KINDS: tuple[Kind, ...] = ("draw", "blow", "open")


def near(value: float) -> float:
    """The value but for rounding, fit to stand inside an expected dataclass."""
    return cast("float", pytest.approx(value, abs=1e-9))


def near_all(*values: float) -> tuple[float, ...]:
    return cast("tuple[float, ...]", pytest.approx(values, abs=1e-9))


def note(kind: Kind, duration_s: float, flow_l_per_s: float = 0.2, label: str = "") -> Segment:
    return Segment(kind, duration_s, 0.0 if kind == "open" else flow_l_per_s, label)


def random_lungs(source: random.Random) -> Lungs:
    """Small and large lungs, slow and quick breathers, starting anywhere comfortable."""
    capacity_l = source.uniform(1.5, 6.0)
    low_l, high_l = sorted(source.uniform(0.0, capacity_l) for _ in range(2))
    return lungs_from(
        {
            "vital_capacity_l": capacity_l,
            "comfortable_low_l": low_l,
            "comfortable_high_l": high_l,
            "start_l": source.uniform(low_l, high_l),
            "breathe_in_l_per_s": source.choice((0.0, 0.3, source.uniform(0.1, 3.0))),
            "breathe_out_l_per_s": source.choice((0.0, 0.3, source.uniform(0.1, 3.0))),
        }
    )


def random_tune(source: random.Random, most: int = 30) -> list[Segment]:
    """Up to `most` segments, some of no length, some far too long."""
    mix = source.choice(_MIXES)
    longest_s = source.choice((0.3, 1.0, 4.0))
    kinds = source.choices(_KINDS, mix, k=source.randint(1, most))
    return [
        note(
            kind,
            source.choice((0.0, 0.06, *(source.uniform(0.0, longest_s) for _ in range(6)))),
            source.uniform(0.05, 1.6),
            f"e{index}",
        )
        for index, kind in enumerate(kinds)
    ]


def tunes(least: int = 0, most: int = 25) -> st.SearchStrategy[list[Segment]]:
    """Segments with flows in the measured range, no shorter than a nanosecond unless empty."""
    duration_s = st.just(0.0) | st.floats(1e-9, 5.0)
    one = st.builds(note, st.sampled_from(_KINDS), duration_s, st.floats(0.05, 1.6))
    return st.lists(one, min_size=least, max_size=most).map(
        lambda tune: [replace(segment, label=f"e{i}") for i, segment in enumerate(tune)]
    )


def players() -> st.SearchStrategy[Lungs]:
    return st.integers(0, 2**32 - 1).map(lambda seed: random_lungs(random.Random(seed)))
