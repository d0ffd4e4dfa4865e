"""Breath, for as long as one likes: random tunes against linear programming, all aims at once."""

import random

from tests.outside import test_breath_linear_programme as outside


def soak_breath(source: random.Random) -> None:
    cases = outside.random_cases(source.randrange(2**32), 40)
    outside.check_first_failures(cases)
    outside.check_excesses(cases)
    outside.check_margins(cases)
    outside.check_comforts(cases)
    outside.check_rests(cases)
    outside.check_first_failures(outside.at_the_edge(cases, 1e-5))
