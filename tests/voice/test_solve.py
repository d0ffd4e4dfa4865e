"""The data file is what the committed script writes: one kind is solved again."""

import importlib.util
import sys
import tomllib
from importlib.resources import files
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest

SCRIPT = Path(__file__).resolve().parents[2] / "tools" / "solve_voice.py"


@pytest.fixture(scope="module")
def solver() -> ModuleType:
    """The script, as a module."""
    spec = importlib.util.spec_from_file_location("solve_voice", SCRIPT)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["solve_voice"] = module
    spec.loader.exec_module(module)
    return module


@pytest.mark.slow
@pytest.mark.parametrize("kind", [(0, False), (-1, False)])
def test_a_kind_solved_again_is_the_kind_kept(solver: ModuleType, kind: tuple[int, bool]) -> None:
    text = files("reedwright.voice").joinpath("data", "holes.toml").read_text("utf-8")
    kept = {(row["interval"], row["over"]): row for row in tomllib.loads(text)["kind"]}[kind]
    (again,) = tomllib.loads(solver.as_toml(kind))["kind"]
    assert again.keys() == kept.keys()
    for name, value in kept.items():
        if name.startswith("level_db"):
            loud = np.array(value) > -50  # below it a partial is as good as none
            assert np.abs(np.array(again[name]) - np.array(value))[loud].max() < 0.5
        elif not name.startswith("phase"):
            assert np.allclose(again[name], value, rtol=1e-3, atol=0.02), name
