"""What the third worker does: variations of a lick, and the lesson. Slow enough to be apart from
typing. Conventions: runs in a worker (see `workers`)."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from reedwright.desk.engraving import score_of
from reedwright.desk.faults import WRONG, refused
from reedwright.lesson.as_json import lesson_json
from reedwright.lesson.cuts import Cuts
from reedwright.lesson.load import cuts_path, load_cuts
from reedwright.lesson.study import study
from reedwright.sheet.limits import refuse_endless
from reedwright.tune.load import SUFFIX
from reedwright.tune.values import TuneText
from reedwright.tune.write import write_tune
from reedwright.vary.proposals import vary


def prepare() -> None:
    """All is loaded by importing this module."""


def proposals(folder: str, name: str, text: str, lick: str, count: int) -> list[dict[str, Any]]:
    """Variations of a lick, best first: `{rule, bars, changed, why, cost}`. Errors: SettingError,
    TuneError."""
    score = score_of(folder, name, text)
    return [
        {
            "rule": each.rule,
            "bars": _bars(write_tune(TuneText((), (each.lick,)), score.tune.signed)),
            "changed": each.changed,
            "why": each.why,
            "cost": each.cost,
        }
        for each in vary(score, lick, count)
    ]


def _bars(written: str) -> list[str]:
    return [line for line in written.splitlines()[1:] if line[:1] not in ("", ">", "#")]


def lesson(folder: str, name: str, text: str) -> bytes:
    """The lesson as JSON text. Errors: TuneError, LessonError, DeskError."""
    score = score_of(folder, name, text)
    refuse_endless(score)
    if not score.events:
        raise refused(WRONG, "no note is placed yet", "", "write a lick")
    found = study(score, _cuts(Path(folder) / f"{name}{SUFFIX}"))
    told = lesson_json(found)
    told["findings"] = [finding.as_json() for finding in found.findings]
    return json.dumps(told, ensure_ascii=False).encode("utf-8")


def _cuts(tune: Path) -> Cuts:
    """The teacher's cuts beside the tune. A link is not followed: it may lead out of the shelf."""
    if cuts_path(tune).is_symlink():
        return Cuts()
    return load_cuts(tune)
