"""What the template foresees without measuring: that a sheet fits on one page, never too eagerly.

The oracle is the typesetter's own measuring, which the template does where it does not foresee.
"""

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import reedwright.sheet.typeset as typeset_module
from reedwright.sheet.document import ChartRow, Remark, SheetDocument
from reedwright.sheet.engrave import engrave_parted
from reedwright.sheet.typeset import typeset
from tests.sheet.documents import CHART, document
from tests.sheet.scores import twelve_bars

_ROOM = "page.height - 30mm"
NEVER_TOO_LOW = """
#context {
  let level = levels.first()
  assert(head-at-most(level) >= tall(head(level, none)), message: "head")
  if its-remarks.len() > 0 {
    assert(remarks-at-most(level) >= level.around + tall(remarks(level)), message: "remarks")
  }
  let extent = its-extents.cautions
  assert(at-most(extent, 0.9 * base, 180mm) >= tall(care()), message: "cautions")
}
"""
NEVER_TOO_EAGER = f"""
#context {{
  let (level, room) = (levels.first(), {_ROOM})
  if one-page-for-sure(level, room) {{ assert(cost(level, fixed-parts(), room) < 200000) }}
}}
"""
FORESEEN = f"#context assert(one-page-for-sure(levels.first(), {_ROOM}))"

WORDS = st.text("aegiMW ♭♯−₤世 ", max_size=400) | st.text("W", max_size=120)
NAMES = st.text("aM ♭", max_size=40)
BARS = st.lists(st.sampled_from(("E7", "Am7♭5", "G♯m7", "D♭7")), max_size=8).map(tuple)


@st.composite
def sheets(draw: st.DrawFn) -> SheetDocument:
    fields: dict[str, Any] = {
        "title": draw(WORDS),
        "byline": draw(WORDS),
        "facts": tuple(draw(st.lists(st.tuples(NAMES, WORDS), max_size=7))),
        "form": tuple(draw(st.lists(BARS, max_size=30))),
        "remarks": tuple(draw(st.lists(st.builds(Remark, NAMES, WORDS), max_size=6))),
        "cautions": tuple(draw(st.lists(WORDS, max_size=3))),
        "chart": draw(st.sampled_from(((), CHART, (ChartRow("hole", ("1",) * 12, "holes"),)))),
        "systems": engrave_parted(twelve_bars()) * draw(st.integers(0, 2)),
        "paper": draw(st.sampled_from(("a4", "letter"))),
    }
    return SheetDocument(**fields)


def checked(made: SheetDocument, check: str) -> bytes:
    """The sheet, with a check of the template's own values behind it."""
    usual = typeset_module._template()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(typeset_module, "_template", lambda: usual + check.encode())
        return typeset(made)


@given(made=sheets())
@settings(max_examples=60)
def test_no_height_foreseen_is_less_than_the_true_one(made: SheetDocument) -> None:
    checked(made, NEVER_TOO_LOW)


@given(made=sheets())
@settings(max_examples=60)
def test_one_page_is_foreseen_only_where_it_is_true(made: SheetDocument) -> None:
    checked(made, NEVER_TOO_EAGER)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_usual_sheet_is_foreseen(paper: str) -> None:
    checked(document(paper=paper), FORESEEN)


def test_a_sheet_of_more_pages_is_not_foreseen() -> None:
    long = document(systems=engrave_parted(twelve_bars()) * 3)
    with pytest.raises(Exception, match="assertion failed"):
        checked(long, FORESEEN)
