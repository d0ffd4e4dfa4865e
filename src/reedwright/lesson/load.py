"""Cuts, own sentences and plans on disk, beside the tune. The only module of this room that opens
files.

Conventions: the cuts of `NAME.reed` are in `NAME.cuts`, the teacher's own sentences in
`NAME.words`, the order of the lesson in `NAME.plan`; no file means that the teacher has changed
none. A file is written whole or not at all, and goes away when there is nothing left to say.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from reedwright.errors import FileError, LessonError, Place, Problem
from reedwright.files import read_bytes, reason, write_whole
from reedwright.lesson import ownwords
from reedwright.lesson.cuts import Cuts
from reedwright.lesson.cutsfile import read_cuts, write_cuts
from reedwright.lesson.ownwords import OwnSentence
from reedwright.lesson.planfile import read_plan, write_plan
from reedwright.lesson.planlines import PlanText

SUFFIX, WORDS_SUFFIX, PLAN_SUFFIX = ".cuts", ".words", ".plan"
MAX_BYTES = 4_000_000
"""As many as a tune file may have."""


def cuts_path(tune: Path) -> Path:
    """Where the cuts of a tune file are kept.

    >>> cuts_path(Path("demo/lantern-street.reed")).name
    'lantern-street.cuts'
    """
    return tune.with_suffix(SUFFIX)


def load_cuts(tune: Path) -> Cuts:
    """The cuts kept beside a tune file; none where there is no file. Errors: FileError,
    LessonError."""
    path = cuts_path(tune)
    text = _text(path, "Cuts")
    return Cuts() if text is None else read_cuts(text, str(path))


def save_cuts(tune: Path, cuts: Cuts) -> None:
    """Keep cuts beside a tune file. Errors: FileError."""
    _keep(cuts_path(tune), write_cuts(cuts) if cuts.lines else "")


def words_path(tune: Path) -> Path:
    """Where the teacher's own sentences for a tune file are kept."""
    return tune.with_suffix(WORDS_SUFFIX)


def load_own_words(tune: Path) -> tuple[OwnSentence, ...]:
    """The teacher's own sentences; none where there is no file. Errors: FileError, LessonError."""
    path = words_path(tune)
    text = _text(path, "Sentences")
    return () if text is None else ownwords.read(text, str(path))


def save_own_words(tune: Path, own: Sequence[OwnSentence]) -> None:
    """Keep the teacher's own sentences. Errors: FileError."""
    _keep(words_path(tune), ownwords.written(own))


def plan_path(tune: Path) -> Path:
    """Where the plan of a lesson is kept."""
    return tune.with_suffix(PLAN_SUFFIX)


def load_plan(tune: Path) -> PlanText:
    """The plan kept beside a tune file; an empty one where there is no file. Errors: FileError,
    LessonError."""
    path = plan_path(tune)
    text = _text(path, "Plans")
    return PlanText() if text is None else read_plan(text, str(path))


def save_plan(tune: Path, plan: PlanText) -> None:
    """Keep a plan beside a tune file. Errors: FileError."""
    _keep(plan_path(tune), write_plan(plan))


def _text(path: Path, what: str) -> str | None:
    """What is in a file, None where there is none. Errors: FileError, LessonError."""
    if not path.exists() and not path.is_symlink():
        return None
    data = read_bytes(path, MAX_BYTES)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = bytes(error.object)[: error.start].count(b"\n") + 1
        raise LessonError(
            Problem(
                "text that is not UTF-8",
                f"{what} are plain text in UTF-8",
                "save the file as UTF-8 in your editor",
                Place(line, file=str(path)),
            )
        ) from None


def _keep(path: Path, text: str) -> None:
    """Write a file whole; one with nothing to say goes away. Errors: FileError."""
    if text:
        write_whole(path, text.encode("utf-8"))
        return
    try:
        path.unlink(missing_ok=True)
    except OSError as error:
        raise FileError(str(path), reason(error), "check your rights to the folder") from None
