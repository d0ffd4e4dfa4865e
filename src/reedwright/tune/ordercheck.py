"""What in a running order cannot be placed at all; noted in the reading, with its line."""

from __future__ import annotations

from reedwright.harp.pitch import shown
from reedwright.tune.entries import with_commas
from reedwright.tune.licks import FullLick, slug_of
from reedwright.tune.order import chorus_bars, choruses, ends_before
from reedwright.tune.reading import Reading, nearest
from reedwright.tune.tune import Tune
from reedwright.tune.values import Chorus, Entry, slug

MAX_PLACED_BARS = 50_000
"""Bars of all choruses together; a lesson has some dozens."""

MAX_PLACED_PARTS = 500_000
"""Notes, rests and holds of all placed licks together: ten for each of the bars allowed."""


def check_order(tune: Tune, reading: Reading) -> None:
    """Note every entry that names no lick, a bar outside the form, or a cut outside its lick."""
    if not tune.text.licks:
        reading.add(1, 1, "no lick", "A tune has at least one", "begin one with `Lick Call`")
    written = {lick.slug for lick in tune.text.licks}
    for chorus in tune.text.choruses:
        if not chorus.entries and chorus.line not in reading.torn:
            reading.add(
                chorus.line,
                chorus.column,
                "a chorus with no lick",
                "A chorus lists bars and licks",
                "write it like `1 Call`",
            )
        for entry in chorus.entries:
            _check_bar(entry, tune, reading)
            full = tune.licks.get(slug_of(entry.lick, tune.licks) or "")
            if full is not None:
                _check_cut(entry, full, tune, reading)
            elif not entry.is_rest and slug(entry.lick) not in written:
                _unknown(entry, tune, reading)
    if not reading.problems:
        _check_size(tune, reading)


def _unknown(entry: Entry, tune: Tune, reading: Reading) -> None:
    apart = with_commas(entry.lick, {lick.slug for lick in tune.text.licks})
    if apart:
        found, rule = f"no comma in {shown(entry.lick)}", "A comma stands after the lick's name"
        mend = f"put a comma, `{entry.bar} {apart}`"
        reading.add(entry.line, entry.column, found, rule, mend)
        return
    close = nearest(entry.lick, (lick.name for lick in tune.text.licks))
    reading.add(
        entry.line,
        entry.column,
        f"no lick is named {shown(entry.lick)}",
        "A chorus places licks of the same file; beat cells belong to a lick",
        f"did you mean {close}?" if close else "begin one with `Lick` and this name",
    )


def _check_bar(entry: Entry, tune: Tune, reading: Reading) -> None:
    length = len(tune.form.bars)
    if entry.bar < 1:
        rule = "A lick is placed on a bar of the chorus, from 1"
        mend = "place it on bar 1; a pickup is bar 0 of the lick itself"
        reading.add(entry.line, entry.column, "a lick on bar 0 of a chorus", rule, mend)
    elif length and entry.bar > length:
        reading.add(
            entry.line,
            entry.column,
            f"bar {entry.bar} in a form of {length} bars",
            "A lick is placed on a bar of the form",
            "begin the next chorus with a line `Chorus` and count from 1 again",
        )


def _check_cut(entry: Entry, full: FullLick, tune: Tune, reading: Reading) -> None:
    beats = tune.meter.beats
    first = full.first if entry.from_bar is None else entry.from_bar
    last = full.last if entry.to_bar is None else entry.to_bar
    lowest = min(full.first, first) if first == 0 else full.first  # `from bar 0` may be said always
    cut_beats = [beat for beat in (entry.from_beat, entry.to_beat) if beat is not None]
    if not lowest <= first <= full.last or not full.first <= last <= full.last:
        found = f"a cut outside lick {full.lick.name}"
    elif not all(1 <= beat <= beats for beat in cut_beats):
        found = f"a cut of lick {full.lick.name} outside a bar"
    elif (first, entry.from_beat or 1) > (last, entry.to_beat or beats):
        found = f"a cut of lick {full.lick.name} that ends before it begins"
    else:
        return
    has = f"It has bars {full.first} to {full.last} of {beats} beats"
    reading.add(entry.line, entry.column, found, has, "write a bar and beat that it has")


def _check_size(tune: Tune, reading: Reading) -> None:
    """Note a tune that would be too long when all its choruses are played."""
    parts = {
        name: sum(len(cell.parts) for lick_bar in full.bars for cell in lick_bar.bar.cells)
        for name, full in tune.licks.items()
    }
    played = choruses(tune)
    bars = [max(chorus_bars(one, tune), _ends(one, tune)) * one.times for one in played]
    placed_parts = [
        one.times
        * sum(
            entry.times * parts.get(slug_of(entry.lick, tune.licks) or "", 0)
            for entry in one.entries
        )
        for one in played
    ]
    for counts, limit, what in (
        (bars, MAX_PLACED_BARS, "bars"),
        (placed_parts, MAX_PLACED_PARTS, "notes, rests and holds"),
    ):
        if sum(counts) > limit:
            longest = played[counts.index(max(counts))]
            found, rule = f"{sum(counts)} {what} in all", f"A tune has at most {limit}"
            share = f"; {max(counts)} of them are here" if len(played) > 1 else ""
            mend = "repeat fewer choruses or licks"
            at = (longest.line or 1, longest.column or 1)  # a tune may have no chorus line
            reading.add(*at, found + share, rule, mend)


def _ends(chorus: Chorus, tune: Tune) -> int:
    return max((ends_before(entry, tune) - 1 for entry in chorus.entries), default=0)
