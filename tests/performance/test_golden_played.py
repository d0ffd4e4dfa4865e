"""One tune with every mark is played as it was (`python -m tests.performance.golden`)."""

import json

import pytest

from tests.performance import golden


@pytest.mark.parametrize("index", range(len(golden.stored())))
def test_played_as_it_was(index: int) -> None:
    now = json.loads(json.dumps(golden.current()))
    assert len(now) == len(golden.stored())
    assert _close(now[index], golden.stored()[index])


def _close(now: object, then: object) -> bool:
    """Equal, numbers to a millionth: cosines differ in their last digit between machines."""
    if isinstance(now, dict) and isinstance(then, dict):
        return now.keys() == then.keys() and all(_close(now[key], then[key]) for key in now)
    if isinstance(now, list) and isinstance(then, list):
        return len(now) == len(then) and all(map(_close, now, then))
    if isinstance(now, float) and isinstance(then, float):
        return abs(now - then) < 2e-6
    return now == then


def test_a_difference_is_seen() -> None:
    one = [{"a": [1.0, "x"]}]
    assert _close(one, [{"a": [1.0 + 1e-6, "x"]}])
    assert not _close(one, [{"a": [1.00001, "x"]}])
    assert not _close(one, [{"a": [1.0, "y"]}])
    assert not _close(one, [{"a": [1.0]}])
