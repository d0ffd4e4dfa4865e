"""What a teacher chooses about the sheets of a pack.

Conventions: `tempo_bpm` in counted beats a minute, None for the tune's full tempo. Light to import:
an unchanged pack needs nothing more.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from reedwright.sheet.document import Paper
from reedwright.sheet.options import TabStyle


@dataclass(frozen=True, slots=True)
class Choices:
    """Paper, kind of tab, and the tempo printed and played."""

    paper: Paper = "a4"
    tab: TabStyle = TabStyle.SIGNS
    tempo_bpm: Fraction | None = None

    def as_json(self) -> dict[str, str | None]:
        tempo = None if self.tempo_bpm is None else str(self.tempo_bpm)
        return {"paper": self.paper, "tab": self.tab.value, "tempo_bpm": tempo}
