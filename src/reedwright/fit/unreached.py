"""Why no harp at hand plays a melody, in words with a mend.

Conventions: the harp and octave that miss fewest notes are named, the first of equals.
"""

from __future__ import annotations

from reedwright.errors import Problem
from reedwright.fit.melody import Melody
from reedwright.fit.ways import Ways
from reedwright.fit.wishes import Wishes
from reedwright.harp.pitch import spell

_SHOWN = 6


def out_of_reach(melody: Melody, wishes: Wishes) -> str:
    """One message."""
    best: tuple[int, str, list[tuple[int, ...]]] | None = None
    known: dict[tuple[object, int], list[tuple[int, ...]]] = {}
    ways_of: dict[object, Ways] = {}
    for harp in wishes.harps:
        ways = ways_of.setdefault(harp.tuning, Ways(harp.tuning, wishes.abilities))
        for shift in range(-48, 49, 12):
            base = harp.key_midi - shift
            key = harp.tuning, base
            if key not in known:
                known[key] = [
                    n.pitches
                    for n in melody.notes
                    if not ways.of(tuple(p - base for p in n.pitches))
                ]
            missing = known[key]
            if best is None or len(missing) < best[0]:
                best = len(missing), harp.name, missing
    count, name, missing = best if best is not None else (0, "", [])
    if count == 0:
        found = "no harp at hand plays this as wished"
        rule = f"On the {name} harp every note is there, but not in position {wishes.position}"
        return str(Problem(found, rule, "leave --position out, or allow --transpose"))
    lacking = list(dict.fromkeys(missing))
    told = ", ".join(_named(pitches) for pitches in lacking[:_SHOWN])
    more = f" and {len(lacking) - _SHOWN} more" if len(lacking) > _SHOWN else ""
    of_notes = f"{count} of {len(melody.notes)} notes"
    level = " with the techniques allowed" if wishes.abilities is not None else ""
    return str(
        Problem(
            "no harp at hand plays this melody",
            f"The best, the {name} harp, lacks {told}{more} ({of_notes}){level}",
            "allow --fold (moves such notes an octave) or --drop (leaves them out), --transpose, "
            "more harps or a higher --student",
        )
    )


def _named(pitches: tuple[int, ...]) -> str:
    return "+".join(spell(pitch, 0) for pitch in pitches)
