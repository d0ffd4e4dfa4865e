"""The key a melody is most likely in, where nothing says.

Conventions: pitch classes; every note counts with its length, the last note once more with a weight
of its own. Source: the probe-tone profiles of Krumhansl and Kessler (Psychological Review 89(4),
1982), their numbers from memory; the correlation is theirs too.
"""

from __future__ import annotations

from math import sqrt

from reedwright.fit.melody import Melody

_MAJOR = (6.35, 2.23, 3.48, 2.33, 4.38, 4.09, 2.52, 5.19, 2.39, 3.66, 2.29, 2.88)
_MINOR = (6.33, 2.68, 3.52, 5.38, 2.60, 3.53, 2.54, 4.75, 3.98, 2.69, 3.34, 3.17)
_LAST_NOTE = 0.25  # of all the time there is; tunes mostly end at home (from memory)


def likely_key(melody: Melody) -> tuple[int, bool]:
    """Pitch class of the key note, and whether the key is minor; of equals the first from C up."""
    weights = [0.0] * 12
    for note in melody.notes:
        for pitch in note.pitches:
            weights[pitch % 12] += float(note.length)
    if melody.notes:
        weights[melody.notes[-1].top % 12] += _LAST_NOTE * sum(weights)
    keys = [(key, minor) for minor in (False, True) for key in range(12)]
    return max(keys, key=lambda key: _fits(weights, *key))


def _fits(weights: list[float], key: int, minor: bool) -> float:
    profile = _MINOR if minor else _MAJOR
    turned = [profile[(pitch - key) % 12] for pitch in range(12)]
    return _correlation(weights, turned)


def _correlation(a: list[float], b: list[float]) -> float:
    mean_a, mean_b = sum(a) / len(a), sum(b) / len(b)
    together = sum((x - mean_a) * (y - mean_b) for x, y in zip(a, b, strict=True))
    spread = sqrt(sum((x - mean_a) ** 2 for x in a) * sum((y - mean_b) ** 2 for y in b))
    return together / spread if spread else 0.0
