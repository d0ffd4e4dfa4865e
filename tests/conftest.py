"""Hypothesis profiles: ``quick`` for test-quick, ``default`` for the suite, ``soak`` for hours.

No deadline anywhere: on a shared machine a slow example says nothing about the code, and the gates
on speed stand in bench/. Recordings made by tests are kept in a folder of the test run, never in
the user's own store.
"""

import os
from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, settings

_SLOW_MACHINES = [HealthCheck.too_slow]

settings.register_profile(
    "quick", max_examples=25, deadline=None, suppress_health_check=_SLOW_MACHINES
)
settings.register_profile(
    "default", max_examples=100, deadline=None, suppress_health_check=_SLOW_MACHINES
)
settings.register_profile(
    "soak", max_examples=5000, deadline=None, suppress_health_check=_SLOW_MACHINES
)
settings.load_profile("default")


@pytest.fixture(scope="session", autouse=True)
def store_of_the_tests(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """What recordings leave for the next time; subprocesses of tests find it too."""
    before = os.environ.get("REEDWRIGHT_CACHE")
    os.environ["REEDWRIGHT_CACHE"] = str(tmp_path_factory.mktemp("store"))
    yield
    if before is None:
        del os.environ["REEDWRIGHT_CACHE"]
    else:
        os.environ["REEDWRIGHT_CACHE"] = before
