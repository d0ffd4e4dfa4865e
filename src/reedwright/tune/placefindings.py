"""What there is to say about licks as they are placed: overlaps, gaps, lost holds, long licks.

Conventions: places as people count them; see `findings`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import TypedDict

from reedwright.tune.findings import Finding, Severity, spoken_beat
from reedwright.tune.order import Order, Placement
from reedwright.tune.ticks import TICKS, beats_of
from reedwright.tune.tokens import format_sound
from reedwright.tune.tune import Tune
from reedwright.tune.walk import Draft, LostHold


class Where(TypedDict):
    """A place of the tune as people count it."""

    chorus: int
    bar: int
    beat: Fraction


@dataclass(frozen=True, slots=True)
class Places:
    """Names the places of one tune in findings about them."""

    tune: Tune
    order: Order

    def at(self, ticks: int) -> Where:
        bar, inside = divmod(ticks, self.tune.meter.beats * TICKS)
        chorus, number = self.order.place_of(bar)
        return {"chorus": chorus, "bar": number, "beat": beats_of(inside + TICKS)}

    def lost_hold(self, hold: LostHold) -> Finding:
        lick = hold.placement.lick
        return Finding(
            Severity.WARNING,
            "place",
            "a hold with nothing to hold",
            "cut the lick at a note, or begin the bar with . for a rest",
            lick=lick.lick.name if lick else "",
            line=hold.line,
            column=hold.column,
            **self.at(hold.at),
        )

    def overlap(self, before: Draft, draft: Draft) -> Finding:
        """Two licks that want the same beat."""
        began, here = self.at(before.start), self.at(draft.start)
        signed = self.tune.signed
        same = draft.name == before.name  # "Call begins while Call still sounds" would puzzle
        earlier = f"the {before.name} before it" if same else before.name
        placed = f", placed by line {draft.placement.entry.line}," * self._has_choruses
        found = (
            f"{draft.name}{placed} begins {format_sound(draft.sound, signed)} while {earlier} "
            f"still sounds {format_sound(before.sound, signed)} from bar {began['bar']} beat "
            f"{spoken_beat(began['beat'])}"
        )
        mend = f"end {earlier} earlier with a rest or `to bar … beat …`"
        if draft.start < draft.placement.start * self.tune.meter.beats * TICKS:
            mend += (
                f", or drop the pickup of {'this one' if same else draft.name} with `from bar 1`"
            )
        else:
            mend += f", or place {draft.name} later"
        again = next((one for one in (before, draft) if self._repeats(one.placement)), None)
        if again is not None:
            mend += f", or play {again.name} fewer times"
        return Finding(
            Severity.ERROR,
            "place",
            found,
            mend,
            id=f"{draft.step.id}@{here['chorus']}.{here['bar']}",
            lick=draft.name,
            line=draft.step.line,
            column=draft.sound.column,
            **here,
        )

    @property
    def _has_choruses(self) -> bool:
        return bool(self.tune.text.choruses)

    def _repeats(self, placement: Placement) -> bool:
        """Whether a lick stands here because its line says `twice` or `N times`."""
        first = self.order.chorus_starts[placement.chorus - 1] + placement.entry.bar - 1
        return placement.start > first

    def gaps(self) -> Iterator[Finding]:
        """Runs of bars in which nothing is placed, not even a rest, chorus by chorus."""
        filled = bytearray(self.order.bars)
        for placement in self.order.placements:
            start, end = max(0, placement.start), placement.end
            filled[start:end] = b"\1" * (end - start)
        for chorus, start in enumerate(self.order.chorus_starts, 1):
            end = self.order.chorus_end(chorus)
            first = filled.find(0, start, end)
            while first >= 0:
                after = filled.find(1, first, end)
                after = end if after < 0 else after
                yield self._gap(chorus, first - start + 1, after - start)
                first = filled.find(0, after, end)

    def _gap(self, chorus: int, first: int, last: int) -> Finding:
        several = last > first
        bars = f"bars {first} to {last}" if several else f"bar {first}"
        length = f", {last - first + 1} bars" * several
        return Finding(
            Severity.WARNING,
            "place",
            f"nothing is placed in {bars}",
            f"place a lick there, or write `{first} rest{length}`",
            chorus=chorus,
            bar=first,
            beat=Fraction(1),
            line=self.order.chorus_lines[chorus - 1],
        )

    def past_the_end(self) -> Iterator[Finding]:
        """Licks that run out of their chorus into the next one, where choruses are written."""
        if not self._has_choruses:
            return
        for placement in self.order.placements:
            end = self.order.chorus_end(placement.chorus)
            if placement.end > end and placement.chorus < len(self.order.chorus_starts):
                name = placement.lick.lick.name if placement.lick else "the rest"
                yield Finding(
                    Severity.ERROR,
                    "place",
                    f"{name} runs {bars_word(placement.end - end)} past the end of chorus "
                    f"{placement.chorus}",
                    "cut it with `to bar …`, or place it earlier"
                    + ", or play it fewer times" * self._repeats(placement),
                    chorus=placement.chorus,
                    lick=name,
                    bar=placement.entry.bar,
                    beat=Fraction(1),
                    line=placement.entry.line,
                    column=placement.entry.column,
                )


def bars_word(bars: int) -> str:
    """`1 bar`, `2 bars`."""
    return f"{bars} bar{'s' * (bars != 1)}"
