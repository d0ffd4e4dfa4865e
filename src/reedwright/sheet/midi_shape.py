"""How the marks of a note bend its pitch, its loudness and its tone while it sounds, for MIDI.

Conventions: `at_s` in seconds from the note's onset; pitch in cents from the note's target,
expression and brightness as controller values 0–127. Glides and rates are the performance room's
habits; the depths of controllers are from memory, their meanings MIDI 1.0's. Tongue slap, pull and
block change the attack and tone in a way no controller says: they are not written.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from reedwright.performance.habits import (
    DIP_S,
    FALL_S,
    FASTEST_HZ,
    FLUTTER_HZ,
    THROAT_CENTS,
    VIBRATO_HZ,
    WAH_PER_BEAT,
)
from reedwright.performance.values import TimedEvent
from reedwright.tune.values import Cup, MarkKind, Sound

FULL = 127  # expression at rest: the controller's own default
HAND_DEPTH = 45  # expression a hand vibrato takes away; from memory
FLUTTER_DEPTH = 60  # and a flutter; from memory
OPEN_BRIGHTNESS = 64  # controller 74 at its neutral value
CLOSED_BRIGHTNESS = 24  # a closed cup is darker; from memory


@dataclass(frozen=True, slots=True)
class Shape:
    """The curves of one note; rates of 0 mean no movement."""

    length_s: float
    dip_cents: float = 0.0
    fall_cents: float = 0.0
    throat_hz: float = 0.0
    hand_hz: float = 0.0
    flutter_hz: float = 0.0
    wah_hz: float = 0.0
    closed: bool = False

    @property
    def pitch_moves(self) -> bool:
        return bool(self.dip_cents or self.fall_cents or self.throat_hz)

    @property
    def moves(self) -> bool:
        return self.pitch_moves or bool(self.hand_hz or self.flutter_hz or self.wah_hz)

    def cents(self, at_s: float) -> float:
        """Cents from the target: glides are straight lines, a throat vibrato lies below it and
        begins when the note is reached."""
        dip_s = min(DIP_S, self.length_s / 3)
        reached_s = max(0.0, at_s - dip_s if self.dip_cents else at_s)
        fall_s = min(FALL_S, self.length_s / 2)
        falling = min(1.0, max(0.0, 1 - (self.length_s - at_s) / fall_s))
        cents = -self.dip_cents * max(0.0, 1 - at_s / dip_s) - self.fall_cents * falling
        return cents - THROAT_CENTS * _swell(self.throat_hz, reached_s)

    def expression(self, at_s: float) -> int:
        less = HAND_DEPTH * _swell(self.hand_hz, at_s)
        less += FLUTTER_DEPTH * _swell(self.flutter_hz, at_s)
        return round(FULL - less)

    def brightness(self, at_s: float) -> int:
        """A moving cup starts closed and opens."""
        if not self.wah_hz:
            return CLOSED_BRIGHTNESS if self.closed else OPEN_BRIGHTNESS
        opened = _swell(self.wah_hz, at_s)
        return round(CLOSED_BRIGHTNESS + (OPEN_BRIGHTNESS - CLOSED_BRIGHTNESS) * opened)


def shape_of(timed: TimedEvent, beats_per_s: float) -> Shape:
    """The curves that an event's marks and cup ask for."""
    event = timed.event
    sound = event.sound
    wah_hz = _rate_hz(sound, MarkKind.WAH, beats_per_s, WAH_PER_BEAT * beats_per_s)
    if event.cup is Cup.MOVING and not wah_hz:
        wah_hz = min(WAH_PER_BEAT * beats_per_s, FASTEST_HZ)
    return Shape(
        length_s=timed.length_s,
        dip_cents=100.0 * _amount(sound, MarkKind.DIP),
        fall_cents=100.0 * _amount(sound, MarkKind.FALL),
        throat_hz=_rate_hz(sound, MarkKind.THROAT, beats_per_s, VIBRATO_HZ),
        hand_hz=_rate_hz(sound, MarkKind.HAND, beats_per_s, VIBRATO_HZ),
        flutter_hz=FLUTTER_HZ if sound.mark(MarkKind.FLUTTER) else 0.0,
        wah_hz=wah_hz,
        closed=event.cup is Cup.CLOSED,
    )


def _amount(sound: Sound, kind: MarkKind) -> float:
    mark = sound.mark(kind)
    return float(mark.amount) if mark else 0.0


def _rate_hz(sound: Sound, kind: MarkKind, beats_per_s: float, own_hz: float) -> float:
    """The rate of a mark, 0 without the mark; `own_hz` where the tune leaves it to the player."""
    mark = sound.mark(kind)
    if mark is None:
        return 0.0
    return min(float(mark.amount) * beats_per_s if mark.amount else own_hz, FASTEST_HZ)


def _swell(rate_hz: float, at_s: float) -> float:
    """From 0 to 1 and back once a period, 0 at the onset; always 0 for no movement."""
    return (1 - math.cos(2 * math.pi * rate_hz * at_s)) / 2
