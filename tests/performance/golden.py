"""How one tune with every mark is played: `python -m tests.performance.golden` writes golden.json.

Numbers to six decimals; times of curves and the curves at their points. Whatever moves one of
them moves every recording, so a change of this file belongs in the changelog.
"""

from __future__ import annotations

import json
from pathlib import Path

from reedwright.performance.playing import Curve, Playing
from tests.performance.playtunes import ALL_MARKS, play_text

GOLDEN = Path(__file__).resolve().parent / "golden.json"
SEED = 7


def current() -> list[dict[str, object]]:
    """What golden.json should say now."""
    return [_row(playing) for playing in play_text(ALL_MARKS, seed=SEED).playings]


def _row(playing: Playing) -> dict[str, object]:
    return {
        "id": playing.id,
        "played_s": _six(playing.played_s),
        "played_end_s": _six(playing.played_end_s),
        "attack": playing.attack.value,
        "reeds": [str(note) for note in playing.reeds],
        "other": str(playing.other or ""),
        "switch_s": [_six(moment_s) for moment_s in playing.switch_s],
        "swept": [[_six(start_s), str(note)] for start_s, note in playing.swept],
        "blocked": playing.blocked,
        "flutter_hz": playing.flutter_hz,
        "pitch_cents": _points(playing.pitch_cents),
        "breath": _points(playing.breath),
        "cup": _points(playing.cup),
    }


def _points(curve: Curve) -> list[list[float]]:
    return [[_six(t), _six(v)] for t, v in zip(curve.times_s, curve.values, strict=True)]


def _six(number: float) -> float:
    return round(number, 6) + 0.0  # no minus nought


def stored() -> list[dict[str, object]]:
    rows: list[dict[str, object]] = json.loads(GOLDEN.read_text(encoding="utf-8"))
    return rows


if __name__ == "__main__":
    rows = ",\n".join(json.dumps(row) for row in current())
    GOLDEN.write_text(f"[\n{rows}\n]\n", encoding="utf-8")
