"""The ladder of tempos: the teacher's own, or a proposal that rises to the full tempo."""

from fractions import Fraction
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from reedwright.lesson.demands import Asking
from reedwright.lesson.difficulty import difficulty_at
from reedwright.lesson.ladder import proposed, tempo_ladder
from reedwright.lesson.settings import lesson_table
from tests.lesson.scores import of_bars

BUSY = ("2d&4d 3d'&5b 6b&2d 4b&5d", "6d&3d'' 2d&4b 5d&1b 3d&6b")


def test_the_tempos_of_the_tune_are_used() -> None:
    found = tempo_ladder(of_bars("2d 3d 4d .", tempo="Tempo: 61, 80, 97.5\n"))
    assert found.own
    assert [float(tempo) for tempo in found.tempos_bpm] == [61.0, 80.0, 97.5]
    numbers = [step.number for step in found.steps]
    assert numbers == sorted(numbers)


def test_a_hard_tune_of_one_tempo_is_begun_slower() -> None:
    found = tempo_ladder(of_bars(*BUSY, tempo="Tempo: 160\n"))
    assert not found.own
    # 84 is the fastest with 7 points at most (below); then 84 · (160 / 84)^(k / 4), rounded
    assert [int(tempo) for tempo in found.tempos_bpm] == [84, 99, 116, 136, 160]
    for slow, fast in pairwise(found.tempos_bpm):
        assert 1 < fast / slow < Fraction(13, 10)


def test_a_tune_without_a_tempo_is_at_the_usual_one() -> None:
    assert tempo_ladder(of_bars(*BUSY, tempo="")).tempos_bpm[-1] == 100


def test_an_easy_tune_has_one_tempo() -> None:
    found = tempo_ladder(of_bars("4b = 5b =", tempo="Tempo: 60\n"))
    assert [float(tempo) for tempo in found.tempos_bpm] == [60.0]


cells_of_a_bar = st.lists(
    st.sampled_from(["2d&6b", "3d", "4d'&4d", ".", "1b&1d&9b"]), min_size=4, max_size=4
)


@given(cells_of_a_bar, st.fractions(20, 400, max_denominator=4))
def test_a_proposal_rises_starts_easy_and_ends_full(cells: list[str], full: Fraction) -> None:
    score = of_bars(" ".join(cells))
    asking = Asking(score.tune)
    demands, table = asking.of(score.events), lesson_table()
    tempos = proposed(demands, full, table)
    assert tempos[-1] == full
    assert list(tempos) == sorted(set(tempos))
    assert len(tempos) <= 6
    assert tempos[0] >= min(full, Fraction(20))
    paced = [difficulty_at(demands, tempo, table).paced_points for tempo in tempos]
    least = max(Fraction(20), Fraction(-(-full // 2)))
    if paced[0] > table["ladder"]["start"]:
        assert tempos[0] <= least  # as slow as may be, and still not easy
    elif len(tempos) > 1:  # one beat a minute faster would be too fast
        assert difficulty_at(demands, tempos[0] + 1, table).paced_points > table["ladder"]["start"]
    else:
        assert paced == [difficulty_at(demands, full, table).paced_points]
