"""Placing done again, slowly and another way: the oracle for `place`.

It writes every part of every placed lick into a list of (start, end, kind, …) in fractions of a
beat, joins holds, and lets the later of two sounds win. It shares no code with the room but the
values that were read.
"""

from fractions import Fraction
from typing import NamedTuple

from reedwright.tune.tune import Tune
from reedwright.tune.values import Bar, Borrow, Chorus, Entry, Rest, Sound, slug


class Heard(NamedTuple):
    """What the oracle says of one event."""

    start: Fraction
    length: Fraction
    sound: Sound
    lick: str


def written_bars(tune: Tune, name: str) -> dict[int, Bar]:
    """Bars of a lick by number, borrowed ones looked up one by one."""
    lick = next(lick for lick in tune.text.licks if slug(lick.name) == slug(name))
    bars: dict[int, Bar] = {}
    for line in lick.lines:
        if isinstance(line, Bar):
            bars[line.number] = line
        elif isinstance(line, Borrow):
            bars |= _borrowed(tune, line)
    return bars


def _borrowed(tune: Tune, line: Borrow) -> dict[int, Bar]:
    other = written_bars(tune, line.lick)
    first = 1 if line.other_first is None else line.other_first
    last = max(other) if line.other_last is None else line.other_last
    numbers = range(first, last + 1)
    return {
        number: other[numbers[(number - line.first) % len(numbers)]]
        for number in range(line.first, line.last + 1)
    }


def heard(tune: Tune) -> list[Heard]:
    """Every sound of a tune where it falls."""
    sounds: list[Heard] = []
    chorus_start = 0
    for chorus in _choruses(tune):
        ends = [_entry(tune, entry, chorus_start, sounds) for entry in chorus.entries]
        chorus_start += len(tune.form.bars) or max([1, *ends])
    return _one_line(sorted(sounds, key=lambda one: one.start))


def _choruses(tune: Tune) -> list[Chorus]:
    if tune.text.choruses:
        return [chorus for chorus in tune.text.choruses for _ in range(chorus.times)]
    at, entries = 1, []
    for lick in tune.text.licks:
        entries.append(Entry(at, lick.name))
        at += max(written_bars(tune, lick.name))
    length = len(tune.form.bars) or at
    count = max((entry.bar - 1) // length for entry in entries) + 1
    return [
        Chorus(
            tuple(
                Entry((entry.bar - 1) % length + 1, entry.lick)
                for entry in entries
                if (entry.bar - 1) // length == number
            )
        )
        for number in range(count)
    ]


def _entry(tune: Tune, entry: Entry, chorus_start: int, sounds: list[Heard]) -> int:
    """Adds an entry's sounds; gives the last bar of the chorus it fills."""
    if entry.is_rest:
        return entry.bar + entry.times - 1
    bars = written_bars(tune, entry.lick)
    name = next(lick.name for lick in tune.text.licks if slug(lick.name) == slug(entry.lick))
    first = min(bars) if entry.from_bar is None else max(entry.from_bar, min(bars))
    last = max(bars) if entry.to_bar is None else entry.to_bar
    home = max(1, first)  # this bar of the lick falls on the entry's bar
    at = end = entry.bar
    for _ in range(entry.times):
        origin = (chorus_start + at - 1 - home) * tune.meter.beats
        _lick(bars, (first, last), entry, (origin, name, tune.meter.beats), sounds)
        end = at + last - home
        at += max(1, last - home + 1)
    return end


def _lick(
    bars: dict[int, Bar],
    ends: tuple[int, int],
    entry: Entry,
    place: tuple[int, str, int],
    sounds: list[Heard],
) -> None:
    origin, name, beats = place
    from_beat, to_beat = entry.from_beat or 1, entry.to_beat or beats
    open_since: Fraction | None = None
    for number in range(ends[0], ends[1] + 1):
        for beat, cell in enumerate(bars[number].cells, 1):
            if (number == ends[0] and beat < from_beat) or (number == ends[1] and beat > to_beat):
                continue
            share = Fraction(1, len(cell.parts))
            for index, part in enumerate(cell.parts):
                start = origin + number * beats + beat - 1 + index * share
                if isinstance(part, Sound):
                    sounds.append(Heard(start, share, part, name))
                    open_since = start
                elif isinstance(part, Rest):
                    open_since = None
                elif open_since is not None:
                    before = sounds[-1]
                    sounds[-1] = before._replace(length=start + share - before.start)


def _one_line(sounds: list[Heard]) -> list[Heard]:
    kept: list[Heard] = []
    for one in sounds:
        if kept and kept[-1].start == one.start:
            continue
        if kept and kept[-1].start + kept[-1].length > one.start:
            kept[-1] = kept[-1]._replace(length=one.start - kept[-1].start)
        kept.append(one)
    return kept
