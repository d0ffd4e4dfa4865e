"""The examples of docs/tunings.md are what the readers accept."""

import re
from pathlib import Path

import pytest

from reedwright.harp.temperament import read_temperament
from reedwright.harp.tuning import read_tuning, tuning_names

PAGE = (Path(__file__).parents[2] / "docs" / "tunings.md").read_text(encoding="utf-8")
EXAMPLES = re.findall(r"```toml\n(.*?)```", PAGE, re.DOTALL)


@pytest.mark.parametrize("example", EXAMPLES)
def test_an_example_is_read_and_keeps_its_name(example: str) -> None:
    read = read_tuning if "base" in example or "blow" in example else read_temperament
    assert f'name = "{read(example, "docs").name}"' in example


def test_the_page_has_both_kinds_and_every_tuning() -> None:
    assert len(EXAMPLES) == 4
    assert all(f"| `{name}` |" in PAGE for name in tuning_names())
