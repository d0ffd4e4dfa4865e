"""What a teacher chooses about a sheet: kind of tab, bars on a line, tempo, where to breathe.

Conventions: `tempo_bpm` counts beats of the meter; None takes the tune's full tempo.
`breath_marks` are ids of events after which the student breathes.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from reedwright.errors import Problem, SettingError

BARS_LIMITS = (1, 8)
"""Bars on a line: four are common practice, two suit large print, more than eight are a smear."""


class TabStyle(StrEnum):
    """How tab is printed: `-4'` and `4`, `↓4'` and `↑4`, or `4d'` and `4b`."""

    SIGNS = "signs"
    ARROWS = "arrows"
    LETTERS = "letters"


@dataclass(frozen=True, slots=True)
class SheetOptions:
    """Choices for one sheet. With `remarks`, the teacher's words stand in the music itself."""

    tab: TabStyle = TabStyle.SIGNS
    bars_per_line: int = 4
    tempo_bpm: Fraction | None = None
    breath_marks: frozenset[str] = frozenset()
    remarks: bool = True

    def __post_init__(self) -> None:
        low, high = BARS_LIMITS
        if not low <= self.bars_per_line <= high:
            raise SettingError(
                Problem(
                    found=f"{self.bars_per_line} bars on a line",
                    rule=f"A line holds {low} to {high} bars",
                    mend="take 4, or 2 for large print",
                )
            )
        if self.tempo_bpm is not None and self.tempo_bpm <= 0:
            raise SettingError(
                Problem(
                    found=f"tempo {float(self.tempo_bpm):g}",
                    rule="A tempo is more than 0 beats a minute",
                    mend="take one of the tune's tempos",
                )
            )
