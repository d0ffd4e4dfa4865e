"""A plan and its take list as plain values, for `lesson.json` and other programs.

Conventions: seconds to the millisecond; a tempo as a number and as a fraction in text, as in
`as_json`; `rounds` of a cut are those that are kept, 0 where the take goes.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from reedwright.lesson.plan import Plan
from reedwright.lesson.takes import Take


def plan_json(plan: Plan) -> dict[str, Any]:
    """The plan: steps with the ids of their takes, its length, and what to cut."""
    return {
        "length_s": _s(plan.length_s),
        "wished_s": None if plan.wished_s is None else _s(plan.wished_s),
        "shortened_s": _s(plan.shortened_s),
        "steps": [
            {
                "title": step.title,
                "kind": step.kind.value,
                "lick": step.lick,
                "pieces": list(step.piece_ids),
                **_tempo(step.tempo_bpm),
                "recordings": list(step.paths),
                "takes": [take.id for take in step.takes],
                "length_s": _s(step.length_s),
            }
            for step in plan.steps
        ],
        "cuts": [
            {"take": cut.take.id, "rounds": cut.rounds, "saves_s": _s(cut.saves_s)}
            for cut in plan.cuts
        ],
    }


def takes_json(plan: Plan) -> list[dict[str, Any]]:
    """Every take in the order of filming."""
    return [_take(take) for take in plan.takes]


def _take(take: Take) -> dict[str, Any]:
    return {
        "id": take.id,
        "title": take.title,
        "kind": take.kind.value,
        **_tempo(take.tempo_bpm),
        "pieces": list(take.piece_ids),
        "recordings": list(take.paths),
        "words": take.words,
        "ready_s": _s(take.ready_s),
        "talk_s": _s(take.talk_s),
        "play_s": _s(take.play_s),
        "turn_s": _s(take.turn_s),
        "rounds": take.rounds,
        "length_s": _s(take.length_s),
        "guessed": take.guessed,
    }


def _tempo(tempo_bpm: Fraction) -> dict[str, Any]:
    whole = tempo_bpm.denominator == 1
    number = int(tempo_bpm) if whole else float(tempo_bpm)
    return {"tempo_bpm": number, "tempo_exact": str(tempo_bpm)}


def _s(seconds: float) -> float:
    return round(seconds, 3)
