"""The numbers of plans and captions, from `data/plan.toml` or a teacher's own copy of it.

Conventions: one flat mapping for each section, by the names written there; seconds where a name
ends in `-s`. `order` is a plan as text, for when the teacher has written none.
Source: from memory and common practice, as said in the file.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from reedwright.errors import HarpError, LessonError, Problem, SettingError
from reedwright.harp.tomltable import Table
from reedwright.lesson.planfile import read_plan
from reedwright.lesson.planlines import PlanText
from reedwright.tables import table_text

NAME = "plan.toml"

_MOST = 100.0
_STEP: dict[str, tuple[float, float]] = {
    "rounds": (1, _MOST),
    "least": (0, _MOST),
    "words": (0, 10_000),
    "worth": (0, _MOST),
}
_SECTIONS: dict[str, dict[str, tuple[float, float]]] = {
    "talk": {"word-s": (0.01, 10), "sentence-s": (0, 60), "note-words": (0, _MOST)},
    "take": {"ready-s": (0, 600), "turn": (0, 10)},
    "hear": _STEP,
    "learn": {**_STEP, "effort-per-round": (0.01, 1e6), "known": (0, 1)},
    "join": _STEP,
    "slow": _STEP,
    "full": _STEP,
    "cut": {"fade": (0.01, 0.99)},
    "caption": {
        "least-s": (0.1, 10),
        "linger-s": (0, 10),
        "pause-s": (0.1, 60),
        "chars-per-s": (1, 1000),
        "line-chars": (10, 1000),
        "notes": (1, 1000),
    },
}
"""Each section's numbers with the least and the most they may be."""


@dataclass(frozen=True, slots=True)
class PlanTable:
    """Every number by section and name, and the order of a lesson."""

    sections: Mapping[str, Mapping[str, float]]
    order: PlanText

    def __getitem__(self, section: str) -> Mapping[str, float]:
        return self.sections[section]


@cache
def plan_table() -> PlanTable:
    """The numbers in force. Errors: SettingError with every fault of a teacher's own file."""
    return read_plan_table(*table_text(NAME))


def read_plan_table(text: str, name: str = NAME) -> PlanTable:
    """Numbers from TOML text. Errors: SettingError with all its faults."""
    try:
        return _read(Table.parse(text, name), text, name)
    except HarpError as error:
        raise SettingError(error.problems) from None


def _read(table: Table, text: str, name: str) -> PlanTable:
    table.allow("order", *_SECTIONS)
    sections = {}
    for title, spans in _SECTIONS.items():
        inner = Table(table.rows(title, "…"), text, name)
        inner.allow(*spans)
        sections[title] = {key: _number(inner, title, key, *span) for key, span in spans.items()}
        table.problems += inner.problems
    order = PlanText()
    try:
        order = read_plan(table.remark("order"), f"{name}, order")
    except LessonError as error:
        table.problems += error.problems
    if not order.steps and not table.problems:
        rule, mend = "A lesson has one step or more", "write `hear the tune`"
        table.bad("order", "an order without a step", rule, mend)
    table.finish()
    return PlanTable(sections, order)


def _number(inner: Table, title: str, key: str, low: float, high: float) -> float:
    if key not in inner.values:
        problem = Problem(f"[{title}] lacks {key}", "Every number stands there", f"add {key}")
        inner.problems.append(problem)
        return low
    return inner.number(key, inner.values[key], low, high)
