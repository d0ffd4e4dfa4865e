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
from reedwright.lesson.load import (
    cuts_path,
    load_cuts,
    load_own_words,
    save_own_words,
    words_path,
)
from reedwright.lesson.ownwords import OwnSentence, changed, homeless, said, sounds_of
from reedwright.lesson.study import Study, study
from reedwright.lesson.words.speech import TuneWords, tune_words
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
    """The lesson as JSON text, every piece with its sentences, the teacher's own in place. Errors:
    TuneError, LessonError, DeskError."""
    found, words = _taught(folder, name, text)
    own = _own(_tune(folder, name))
    told = lesson_json(found, event_words=words.notes)
    sentences = said(words.pieces, sounds_of(found.score), own)
    for lick in told["licks"]:
        for piece in lick["pieces"]:
            piece["words"] = [each.as_json() for each in sentences.get(piece["id"], [])]
    told["homeless"] = [each.text for each in homeless(words.pieces, own)]
    told["findings"] = [finding.as_json() for finding in found.findings]
    return json.dumps(told, ensure_ascii=False).encode("utf-8")


def sentence(folder: str, name: str, text: str, asked: tuple[str, int, str | None]) -> None:
    """Write one sentence of a piece, or take it back, and keep it beside the tune. Errors:
    LessonError, FileError, TuneError."""
    piece, index, own_text = asked
    found, words = _taught(folder, name, text)
    now = words.pieces, sounds_of(found.score)
    tune = _tune(folder, name)
    save_own_words(tune, changed(now, _own(tune), piece, index, own_text))


def _taught(folder: str, name: str, text: str) -> tuple[Study, TuneWords]:
    score = score_of(folder, name, text)
    refuse_endless(score)
    if not score.events:
        raise refused(WRONG, "no note is placed yet", "", "write a lick")
    found = study(score, _cuts(_tune(folder, name)))
    return found, tune_words(found)


def _tune(folder: str, name: str) -> Path:
    return Path(folder) / f"{name}{SUFFIX}"


def _cuts(tune: Path) -> Cuts:
    """The teacher's cuts beside the tune. A link is not followed: it may lead out of the shelf."""
    _no_link(cuts_path(tune))
    return load_cuts(tune)


def _own(tune: Path) -> tuple[OwnSentence, ...]:
    _no_link(words_path(tune))
    return load_own_words(tune)


def _no_link(path: Path) -> None:
    if path.is_symlink():
        found, rule = f"{path.name} is a link", "The desk opens plain files in its own folder only"
        raise refused(WRONG, found, rule, "put a copy of the file there")
