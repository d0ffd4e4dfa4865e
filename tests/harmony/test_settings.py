"""The thresholds of harmony."""

import tomllib
from fractions import Fraction
from importlib.resources import files

from reedwright.harmony.settings import HarmonySettings, settings


def test_defaults() -> None:
    half = Fraction(3, 2)
    assert settings() == HarmonySettings(half, Fraction(3), Fraction(1), Fraction(1), Fraction(1))


def test_every_threshold_has_an_origin() -> None:
    path = files("reedwright.harmony").joinpath("data/harmony.toml")
    table = tomllib.loads(path.read_text(encoding="utf-8"))
    assert all(row["origin"] for row in table.values())
