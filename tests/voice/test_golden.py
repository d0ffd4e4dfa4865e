"""When samples move, the recipe number goes up: else a store would give out old ones."""

import json

import numpy as np
import pytest

from reedwright.voice.values import RECIPE
from tests.voice.golden import CELLS, KEPT, heard

_MOVED_DB = 0.35
_SILENT_DBFS = -70.0  # below it a frame holds no more than a fade
KEPT_CELLS = json.loads(KEPT.read_text(encoding="utf-8"))


def test_the_kept_levels_are_of_this_recipe() -> None:
    assert KEPT_CELLS["recipe"] == RECIPE
    assert set(KEPT_CELLS["cells"]) == set(CELLS)


@pytest.mark.parametrize("cell", CELLS)
def test_what_is_heard_has_not_moved(cell: str) -> None:
    now, kept = heard(cell), KEPT_CELLS["cells"][cell]
    for name in ("frames_dbfs", "thirds_db"):
        one, other = np.array(now[name]), np.array(kept[name])
        assert one.shape == other.shape
        loud = other > (_SILENT_DBFS if name == "frames_dbfs" else other.max() - 60)
        assert np.abs(one - other)[loud].max() <= _MOVED_DB, "raise RECIPE, then run golden"
