"""Where a piece starts in the count, how the count-in runs, and how the eighths are felt.

Conventions: what is counted before a note are the whole beats of its bar before it, the one it
falls into included when it is off the beat; before a first beat it is the bar before.
"""

from __future__ import annotations

from collections.abc import Iterator

from reedwright.lesson.pieces import Piece
from reedwright.lesson.words.fact import Context, Fact
from reedwright.tune.events import Event


def begin(piece: Piece, context: Context) -> Fact:
    """Where it starts, and what is counted before it."""
    first, say = piece.events[0], context.say
    kind, counted = _kind(piece, context), _before(first)
    if kind == "on-one":
        counted = context.tune.meter.beats
    times = context.tune.count_in_bars - 1 if kind == "pickup-bar" else 1
    count = _count(counted or context.tune.meter.beats, times)
    values = {"beat": str(first.beat), "bar": first.bar, "chorus": first.chorus, "count": count}
    filled = {
        "where": say.place(first.beat),
        "bar": say.bar(first),
        "count": count,
        "next": say.wording.word("place", "bar", bar=first.bar + 1),
    }
    return Fact(f"begin.{kind}", values, filled, (first.id,))


def _kind(piece: Piece, context: Context) -> str:
    first = piece.events[0]
    if first.bar == 0:
        if first.beat > 1:
            return "pickup"
        return "pickup-bar" if context.tune.count_in_bars > 1 else "pickup-at-once"
    if first.beat == 1:
        return "on-one"
    return "lead" if _leads(piece) else "later"


def _leads(piece: Piece) -> bool:
    """Whether it begins with a pickup that is followed by the next bar of the same chorus."""
    first = piece.events[0]
    after = next((one for one in piece.events if one.bar != first.bar), None)
    written = first.id.partition(":")[2].partition(".")[0]
    return (
        written == "0"
        and after is not None
        and (after.chorus, after.bar) == (first.chorus, first.bar + 1)
    )


def _before(event: Event) -> int:
    """Beats counted in its bar before a note."""
    return -(-event.beat.numerator // event.beat.denominator) - 1


def _count(beats: int, times: int) -> str:
    return ", ".join([str(beat) for beat in range(1, beats + 1)] * times)


def of_tune(piece: Piece, context: Context) -> Iterator[Fact]:
    """What is told once, with the first piece: how the count-in runs, how the eighths swing."""
    tune = context.tune
    bars, count = tune.count_in_bars, _count(tune.meter.beats, 1)
    filled = {
        "count": count,
        "bars": context.say.number(bars),
        "times": context.counted("times", bars),
    }
    kind = "tune.count-in-1" if bars == 1 else "tune.count-in-more"
    yield Fact(kind, {"bars": bars, "count": count}, filled)
    swung = tuple(event for event in piece.events if event.beat.denominator == 2)
    if swung and tune.feel.ratio_at(context.tempo_bpm) > 1 and not tune.meter.compound:
        yield Fact("tune.swung", {"feel": tune.feel.name}, {}, tuple(one.id for one in swung))
