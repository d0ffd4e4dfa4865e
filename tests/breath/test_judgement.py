"""Both pairs of limits judged at once."""

from hypothesis import given

from reedwright.breath.judgement import judge, verdict
from reedwright.breath.ledger import Segment
from reedwright.breath.lungs import Lungs
from tests.breath.cases import LUNGS, note, players, tunes


def test_hard_on_the_comfortable_side_only() -> None:
    found = judge([note("draw", 15.0, label="long")], LUNGS)
    assert found.hard.feasible
    assert found.hard.mend is None
    assert found.hard.breaths == ()
    assert not found.comfortable.feasible
    assert found.comfortable.mend is not None
    assert [place.label for place in found.comfortable.breaths] == ["long"]
    assert found.plan is not None


@given(tunes(least=1), players())
def test_the_verdicts_agree_with_each_other(tune: list[Segment], lungs: Lungs) -> None:
    found = judge(tune, lungs)
    assert found.hard == verdict(tune, lungs, lungs.hard)
    assert found.hard.feasible or not found.comfortable.feasible
    assert (found.plan is not None) is found.hard.feasible
    for each in (found.hard, found.comfortable):
        assert each.margin is not None
        assert each.feasible is (each.mend is None) is (each.breaths == ())
        assert each.feasible is (each.margin.litres >= 0.0) or abs(each.margin.litres) < 1e-8
