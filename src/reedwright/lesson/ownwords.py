"""A teacher's own sentences in place of those the lesson writes by itself.

Kept as `NAME.words` beside `NAME.reed`: TOML, a `[[sentence]]` for each, with the piece and the
notes it is about (ids of events, so it survives edits elsewhere), the kind of fact it stands for,
what those notes were (`basis`), and the teacher's `text`. A sentence holds while its basis does;
where that has changed, it is kept and flagged (`stale`). How the lesson itself would put it may
change with what is said of other pieces, so that is not looked at. A sentence whose place has gone
moves to the piece that has its first note still, or is told apart. Pure; the files are `load`'s.
"""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from reedwright.errors import LessonError, Place, Problem
from reedwright.lesson.words.speech import Sentence
from reedwright.tune.place import Score
from reedwright.tune.tokens import format_sound

MAX_TEXT = 2_000
"""Characters of a sentence; a caption of two lines has 80 (from memory)."""

MAX_SENTENCES = 20_000
_FIELDS = ("piece", "kind", "basis", "text")
_HEAD = "# Sentences of the teacher's own; written by the desk, yours to edit.\n"


@dataclass(frozen=True, slots=True)
class OwnSentence:
    """One sentence of the teacher's. `notes`: ids of the events it is about."""

    piece: str
    kind: str
    notes: tuple[str, ...]
    basis: str
    text: str

    def __post_init__(self) -> None:
        if not 0 < len(self.text) <= MAX_TEXT or not self.text.isprintable():
            raise LessonError(
                Problem(
                    "a sentence that is none",
                    f"A sentence is one line of 1 to {MAX_TEXT} characters",
                    "shorten it, or leave it empty for the desk's own words",
                )
            )

    @property
    def place(self) -> tuple[str, str, tuple[str, ...]]:
        return self.piece, self.kind, self.notes


@dataclass(frozen=True, slots=True)
class Said:
    """A sentence as it is shown: `own` is what the lesson says by itself there (empty where it says
    nothing any more); `kind`, `notes` and `basis` as in `OwnSentence`."""

    text: str
    own: str
    kind: str
    notes: tuple[str, ...]
    basis: str
    edited: bool = False
    stale: bool = False

    def as_json(self) -> dict[str, Any]:
        return {"text": self.text, "own": self.own, "edited": self.edited, "stale": self.stale}


Pieces = Mapping[str, Sequence[Sentence]]
Sounds = Mapping[str, str]
"""By the id of an event, what it sounds like and when in its bar."""


def sounds_of(score: Score) -> Sounds:
    """What the bases of sentences are made of."""
    return {
        event.id: f"{format_sound(event.sound)} at {event.beat} for {event.length}"
        for event in score.events
    }


def said(pieces: Pieces, sounds: Sounds, own: Sequence[OwnSentence]) -> dict[str, list[Said]]:
    """Every piece's sentences with the teacher's in place; those whose place has gone stand behind
    the others of their piece. Sentences of no piece at all: `homeless`."""
    left = {each.place: each for each in own}
    found: dict[str, list[Said]] = {}
    for piece, sentences in pieces.items():
        found[piece] = []
        for sentence in sentences:
            mine = left.pop((piece, sentence.kind, tuple(sentence.event_ids)), None)
            found[piece].append(_said(sentence, _basis(sentence, sounds), mine))
    for each in left.values():
        home = _home(each, pieces)
        if home:
            lost = Said(each.text, "", each.kind, each.notes, each.basis, edited=True, stale=True)
            found[home].append(lost)
    return found


def homeless(pieces: Pieces, own: Sequence[OwnSentence]) -> list[OwnSentence]:
    """Sentences about notes the tune has not any more."""
    return [each for each in own if not _home(each, pieces)]


def changed(
    shown_now: tuple[Pieces, Sounds],
    own: Sequence[OwnSentence],
    piece: str,
    index: int,
    text: str | None,
) -> tuple[OwnSentence, ...]:
    """The teacher's sentences after one is written, or taken back (None). `index` counts as the
    lists of `said`. Errors: LessonError for a sentence that is not there, or is none."""
    pieces, sounds = shown_now
    shown = said(pieces, sounds, own).get(piece, [])
    if not 0 <= index < len(shown):
        raise LessonError(
            Problem("no such sentence", "The tune has changed meanwhile", "look at it again")
        )
    old = shown[index]
    kept = tuple(
        each
        for each in own
        if (each.kind, each.notes) != (old.kind, old.notes) or _home(each, pieces) != piece
    )
    if text is None or (not old.edited and text == old.own):
        return kept
    return (*kept, OwnSentence(piece, old.kind, old.notes, old.basis, text))


def _basis(sentence: Sentence, sounds: Sounds) -> str:
    """What a sentence rests on: its notes as they are, or the facts it states where it has none."""
    if sentence.event_ids:
        return "; ".join(sounds.get(note, "") for note in sentence.event_ids)
    return json.dumps(dict(sentence.facts), sort_keys=True, default=str)


def _said(sentence: Sentence, basis: str, mine: OwnSentence | None) -> Said:
    notes = tuple(sentence.event_ids)
    if mine is None:
        return Said(sentence.text, sentence.text, sentence.kind, notes, basis)
    stale = mine.basis != basis
    return Said(mine.text, sentence.text, sentence.kind, notes, basis, edited=True, stale=stale)


def _home(each: OwnSentence, pieces: Pieces) -> str:
    """The piece a sentence belongs to now; empty for none."""
    if each.piece in pieces:
        return each.piece
    for piece, sentences in pieces.items():
        if any(note in sentence.event_ids for note in each.notes for sentence in sentences):
            return piece
    return ""


def written(own: Sequence[OwnSentence]) -> str:
    """The text of a file; empty for nothing to say."""
    return _HEAD + "".join(map(_one, own)) if own else ""


def _one(each: OwnSentence) -> str:
    values = {"piece": each.piece, "kind": each.kind, "basis": each.basis, "text": each.text}
    lines = "".join(f"{key} = {_quoted(value)}\n" for key, value in values.items())
    notes = ", ".join(map(_quoted, each.notes))
    return f"\n[[sentence]]\n{lines}notes = [{notes}]\n"


def _quoted(text: str) -> str:
    """JSON's strings are TOML's, but for the delete sign."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def read(text: str, file: str = "") -> tuple[OwnSentence, ...]:
    """The sentences in a file's text. Errors: LessonError."""
    try:
        table = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise _faulty(f"broken TOML: {error}"[:300], file) from None
    rows = table.get("sentence", [])
    if not isinstance(rows, list) or len(rows) > MAX_SENTENCES or set(table) - {"sentence"}:
        raise _faulty("something else than sentences", file)
    return tuple(_read(rows, file))


def _read(rows: list[Any], file: str) -> Iterator[OwnSentence]:
    for number, row in enumerate(rows, 1):
        notes = row.get("notes") if isinstance(row, dict) else None
        fine = isinstance(notes, list) and all(isinstance(note, str) for note in notes)
        if not fine or not all(isinstance(row.get(key), str) for key in _FIELDS):
            raise _faulty(f"sentence {number} lacks something", file)
        yield OwnSentence(row["piece"], row["kind"], tuple(notes or ()), row["basis"], row["text"])


def _faulty(found: str, file: str) -> LessonError:
    rule = "A sentence has piece, kind, notes, basis and text"
    mend = "mend it in your editor, or take the file away"
    return LessonError(Problem(found, rule, mend, Place(file=file)))
