"""The soak runner: finds every soak function, stops at the first failure, names its seed."""

import random
from itertools import count
from pathlib import Path

import pytest

from tests import soak


def _fine(rng: random.Random) -> None:
    rng.random()


def _hates_even_seeds(rng: random.Random) -> None:
    if rng.getstate() in (random.Random(4).getstate(), random.Random(6).getstate()):
        raise RuntimeError("even")


def test_rounds_take_turns_and_end_with_the_seeds() -> None:
    turns: list[str] = []
    soaks = {"soak_a": lambda _: turns.append("a"), "soak_b": lambda _: turns.append("b")}
    assert soak.run_rounds(soaks, range(5), lambda: True) == (5, None)
    assert turns == ["a", "b", "a", "b", "a"]


def test_the_first_failure_stops_and_can_be_run_again_from_its_seed() -> None:
    soaks = {"soak_fine": _fine, "soak_even": _hates_even_seeds}
    done, failure = soak.run_rounds(soaks, count(1), lambda: True)
    assert failure is not None
    assert (done, failure.name, failure.seed) == (3, "soak_even", 4)
    assert "RuntimeError: even" in failure.trace
    again = soak.run_rounds({failure.name: soaks[failure.name]}, range(4, 5), lambda: True)
    assert again[1] is not None
    assert (again[0], again[1].seed) == (0, 4)


def test_no_time_left_means_no_round() -> None:
    assert soak.run_rounds({"soak_fine": _fine}, count(), lambda: False) == (0, None)


def test_nothing_to_run_is_an_error(capsys: pytest.CaptureFixture[str]) -> None:
    assert soak.main(["--only", "soak_of_no_such_name", "--rounds", "1"]) == 2
    assert "nothing to run (asked for: soak_of_no_such_name)" in capsys.readouterr().err


def test_every_soak_module_is_found() -> None:
    folder = Path(soak.__file__).parent
    modules = {function.__module__ for function in soak.discover(folder).values()}
    assert modules >= {f"tests.{path.stem}" for path in folder.glob("soak_*.py")}
