"""The zone of the blue third."""

import pytest

from reedwright.harmony.zones import blue_thirds
from reedwright.harp.harp import harp_named


@pytest.mark.parametrize(
    ("harp", "key", "zones"),
    [
        ("C", 7, ["between 3d' and 3d", "between 10b'' and 10b'"]),
        ("A", 4, ["between 3d' and 3d", "between 10b'' and 10b'"]),
        ("C", 0, ["between 8b' and 8b"]),
        ("G natural minor", 7, ["between 10b'' and 10b'"]),
        ("C", 5, ["between 3d''' and 3d''", "between 6d' and 6d"]),
    ],
)
def test_zones(harp: str, key: int, zones: list[str]) -> None:
    assert [zone.words() for zone in blue_thirds(harp_named(harp), key)] == zones


def test_a_zone_in_signs() -> None:
    assert blue_thirds(harp_named("C"), 7)[0].words(signed=True) == "between -3' and -3"
