"""A tune: what follows from its header."""

from fractions import Fraction

from tests.tune.samples import tune_of

LICK = "Lick A\n1: . . . ."


def test_key_and_signature() -> None:
    tune = tune_of(LICK)
    assert (tune.key, tune.key_name, tune.fifths) == (4, "E", 4)
    minor = tune_of(LICK, "Form: 12-bar minor")
    assert (minor.key_name, minor.fifths) == ("E minor", 1)


def test_tempos_and_remarks() -> None:
    tune = tune_of(LICK, "Tempo: 60, 80.5\n> Slow first\n# not this\n> Then fast\n")
    assert tune.full_tempo_bpm == Fraction(161, 2)
    assert tune.remarks == ("Slow first", "Then fast")
