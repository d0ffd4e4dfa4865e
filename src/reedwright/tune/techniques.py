"""The ladder of techniques: what a note asks of a player, and what a student can do.

Conventions: a technique's id is a word (`shake`) or, for a bend, its tab token (`3d''`);
difficulty runs from 1 to 10. The ladder is a graph in `data/techniques.toml`: whoever has a
technique has all it needs. Source: common practice for the order, from memory for the numbers.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache

from reedwright.errors import Problem, TuneError
from reedwright.harp.harp import Harp
from reedwright.harp.law import higher_breath
from reedwright.harp.note import Breath, TabNote
from reedwright.harp.pitch import shown
from reedwright.tables import table_text
from reedwright.tune.tokens import TYPED
from reedwright.tune.values import MarkKind, Sound

_BY_MARK = {
    MarkKind.DIP: "dip",
    MarkKind.FALL: "fall",
    MarkKind.RAKE: "rake",
    MarkKind.THROAT: "throat-vibrato",
    MarkKind.HAND: "hand-vibrato",
    MarkKind.WAH: "hand-wah",
    MarkKind.FLUTTER: "flutter",
    MarkKind.SLAP: "tongue-slap",
    MarkKind.PULL: "tongue-pull",
    MarkKind.BLOCKED: "tongue-block",
}
_WIDE = 4  # neighbouring holes from which a chord counts as wide; from memory


@dataclass(frozen=True, slots=True)
class Technique:
    """One rung: `needs` are ids of the techniques to have first."""

    id: str
    name: str
    level: str
    difficulty: float
    needs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Ladder:
    """All techniques by id, and the levels from first to last."""

    levels: tuple[str, ...]
    techniques: dict[str, Technique]

    def __post_init__(self) -> None:
        for technique in self.techniques.values():
            unknown = [need for need in technique.needs if need not in self.techniques]
            if unknown or technique.level not in self.levels:
                wrong = (unknown or [technique.level])[0]
                raise _bad(
                    f"technique {shown(technique.id)} names {shown(wrong)}",
                    "A technique needs techniques and a level of the same file",
                )

    def with_needs(self, ids: Iterable[str]) -> frozenset[str]:
        """The techniques and everything they need, however far down (cycles do no harm)."""
        have: set[str] = set()
        waiting = list(ids)
        while waiting:
            technique = waiting.pop()
            if technique not in have:
                have.add(technique)
                waiting += self.techniques[technique].needs
        return frozenset(have)

    def needing(self, ids: Iterable[str]) -> frozenset[str]:
        """The techniques and everything that needs one of them: out of reach without them."""
        reach = set(ids)
        before = -1
        while before != len(reach):
            before = len(reach)
            reach |= {t.id for t in self.techniques.values() if not reach.isdisjoint(t.needs)}
        return frozenset(reach)

    def of_level(self, level: str) -> frozenset[str]:
        """What a student of a level can do: everything up to and including it."""
        if level not in self.levels:
            close = get_close_matches(level, self.levels, n=1)
            raise _bad(
                f"unknown level {shown(level)}",
                f"Levels are {', '.join(self.levels)}",
                f"did you mean {close[0]}?" if close else f"write one like {self.levels[0]}",
            )
        reached = self.levels[: self.levels.index(level) + 1]
        return self.with_needs(t.id for t in self.techniques.values() if t.level in reached)

    def named(self, name: str) -> str:
        """The id of a technique by its id, its name, or the tab token of a bend."""
        plain = " ".join(name.lower().translate(TYPED).split())
        by_name = {t.name.lower(): t.id for t in self.techniques.values()}
        by_name |= {t.id.replace("-", " "): t.id for t in self.techniques.values()}
        found = by_name.get(plain.replace("-", " ")) or by_name.get(plain)
        if found is None:
            close = get_close_matches(plain, by_name, n=1)
            raise _bad(
                f"unknown technique {shown(name)}",
                "Techniques are those of the ladder",
                f"did you mean {close[0]}?" if close else "`reedwright ladder` lists them",
            )
        return found


def read_ladder(text: str, name: str = "techniques.toml") -> Ladder:
    """A ladder from TOML text. Errors: TuneError."""
    try:
        table = tomllib.loads(text)
        techniques = {
            key: Technique(
                id=key,
                name=str(entry["name"]),
                level=str(entry["level"]),
                difficulty=float(entry["difficulty"]),
                needs=tuple(str(need) for need in entry.get("needs", ())),
            )
            for key, entry in table["technique"].items()
        }
        return Ladder(tuple(str(level) for level in table["levels"]), techniques)
    except (tomllib.TOMLDecodeError, KeyError, TypeError, ValueError, RecursionError) as error:
        if isinstance(error, TuneError):
            raise
        raise _bad(
            f"{name} is not a ladder: {error}", "See the one that comes with reedwright"
        ) from None


@cache
def ladder() -> Ladder:
    """The ladder that comes with the program, or a teacher's own (see `tables`)."""
    return read_ladder(*table_text("techniques.toml"))


def techniques_of(sound: Sound, harp: Harp) -> tuple[str, ...]:
    """Ids of the techniques a sound asks for, in the order of the ladder. The sound must exist."""
    found = {_BY_MARK[mark.kind] for mark in sound.marks if mark.kind in _BY_MARK}
    found |= {_note_technique(note, harp) for note in sound.reeds} - {""}
    found.add(_shape_technique(sound))
    return tuple(technique for technique in ladder().techniques if technique in found)


def _shape_technique(sound: Sound) -> str:
    if sound.shake is not None:
        return "shake"
    holes = [note.hole for note in sound.notes]
    if len(holes) == 1:
        return "single-notes"
    if holes[-1] - holes[0] + 1 > len(holes):
        return "splits"
    return "wide-chords" if len(holes) >= _WIDE else "chord-rhythm"


def _note_technique(note: TabNote, harp: Harp) -> str:
    if note.over:
        return "overblows" if note.breath is Breath.BLOW else "overdraws"
    if note.button and not note.bend:
        return "button"
    if not note.bend:
        return ""
    if higher_breath(harp.tuning, note.hole) is not note.breath or harp.tuning.button:
        return "valved-bends"
    return str(note) if str(note) in ladder().techniques else "other-bends"


def _bad(found: str, rule: str, mend: str = "") -> TuneError:
    return TuneError(Problem(found=found, rule=rule, mend=mend))
