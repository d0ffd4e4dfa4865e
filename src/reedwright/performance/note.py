"""One event with all that its gestures depend on.

Conventions: seconds from the played onset; cents from the target of the written note; breath and
cup from 0 to 1.
"""

from __future__ import annotations

from dataclasses import dataclass

from reedwright.performance import habits
from reedwright.performance.playing import Attack
from reedwright.performance.sways import Sway, rate_hz, vibrato
from reedwright.tune.events import Event
from reedwright.tune.marks import Mark, MarkKind


@dataclass(frozen=True, slots=True)
class Note:
    """What the gestures of one event depend on.

    Attributes:
        onset_s: from the start of the count-in, as played.
        low_cents, high_cents: how far its pitch can go (see `reach`).
        loose: human factors, near 1, on the breath and on the scoop.
        from_cents, from_breath: where a slur begins.
        hands: where the note before left the hands, None at the start of everything.
        rest_s: how long ago that was.
        goes_on: the next note is slurred to this one, so the air does not stop.
    """

    event: Event
    marks: dict[MarkKind, Mark]
    attack: Attack
    onset_s: float
    length_s: float
    beat_s: float
    low_cents: float = 0.0
    high_cents: float = 0.0
    loose: tuple[float, float] = (1.0, 1.0)
    from_cents: float = 0.0
    from_breath: float = 0.0
    hands: float | None = None
    rest_s: float = 0.0
    goes_on: bool = False

    @property
    def glide_s(self) -> float:
        """How long the pitch takes from the onset to its target: a slur, a dip, or a scoop."""
        if self.attack is Attack.SLUR:
            return min(habits.SLUR_S, self.length_s / 2)
        if MarkKind.DIP in self.marks:
            return min(habits.DIP_S, self.length_s / 3)
        scoop_s = habits.BENT_SCOOP_S if self.bent else habits.SCOOP_S
        return min(scoop_s, self.length_s / 3)

    @property
    def bent(self) -> bool:
        """Whether the mouth has to find a bend or an overbend."""
        return any(reed.bend or reed.over for reed in self.event.sound.reeds)

    @property
    def fall_start_s(self) -> float:
        """Where a fall begins; the end of the note without one."""
        if MarkKind.FALL not in self.marks:
            return self.length_s
        return self.length_s - min(habits.FALL_S, self.length_s / 2)

    @property
    def throat(self) -> Sway | None:
        """Throat vibrato, from where the pitch is reached to where a fall begins."""
        mark = self.marks.get(MarkKind.THROAT)
        if mark is None:
            return None
        hz = rate_hz(mark, self.beat_s, habits.VIBRATO_HZ)
        return vibrato(hz, self.glide_s, self.fall_start_s)
