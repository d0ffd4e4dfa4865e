"""The recordings of a pack: which there are, what is heard in each, and what each is called.

Conventions: a recording is planned from the placed tune alone and names no sample; tempos in
counted beats a minute. Whole recordings run from the first sample of the count-in to where the band
has faded. A lick's recordings are cut from the bars of its first whole placement: `first_bar` and
`bars` count from bar 1 of the first chorus, from 0; a pickup lies before them, in the count-in (in
a loop: in the last bar of the loop before). Names are plain ASCII, without an ending.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from reedwright.harp.harp import Harp
from reedwright.tune.events import Event
from reedwright.tune.order import Placement
from reedwright.tune.place import Score
from reedwright.tune.values import slug

FOLDER = "audio"
TRADE_BARS = 4
"""Bars that the harp plays, and leaves, in turn (common practice)."""


class Kind(StrEnum):
    """What a recording is for; the value stands in its name."""

    DEMONSTRATION = "demo"  # the harp with the band, acoustic
    AMPLIFIED = "demo-amplified"  # the harp through the amplifier, with the band
    BACKING = "backing"  # the band alone
    PRACTICE = "practice"  # the harp on the left, the band on the right
    TRADING = "trading"  # the harp leaves every other four bars to the student
    LICK = "alone"  # a lick by itself, after the count-in
    LICK_BAND = "band"  # a lick over its own bars of the band
    LICK_LOOP = "loop"  # the same, then as many bars to answer in, round and round
    RHYTHM = "rhythm"  # the chord rhythm by itself
    DRONE = "drone"  # the chord's root held, for tuning bends
    CLICK = "click"  # the clicks by themselves


OF_LICKS = frozenset({Kind.LICK, Kind.LICK_BAND, Kind.LICK_LOOP})
WITHOUT_HARP = frozenset({Kind.BACKING, Kind.DRONE, Kind.CLICK})
WITHOUT_BAND = frozenset({Kind.LICK, Kind.RHYTHM, Kind.DRONE, Kind.CLICK})


@dataclass(frozen=True, slots=True)
class Recording:
    """One recording.

    Attributes:
        name: path in the pack without an ending, `audio/demo-88`.
        title: what it is, for people and for its tags.
        kind, tempo_bpm: see `Kind`.
        harp: the harp it is played on.
        lick: slug of the lick, empty for a whole tune.
        first_bar, bars: the bars it holds; of a loop without the bars to answer in.
        event_ids: the sounds of the harp that are heard, in order; all of the tune's for None.
    """

    name: str
    title: str
    kind: Kind
    tempo_bpm: Fraction
    harp: Harp
    lick: str = ""
    first_bar: int = 0
    bars: int = 0
    event_ids: frozenset[str] | None = None

    @property
    def loops(self) -> bool:
        """Whether its end meets its beginning; it has no count-in then."""
        return self.kind is Kind.LICK_LOOP

    @property
    def with_harp(self) -> bool:
        return self.kind not in WITHOUT_HARP

    @property
    def with_band(self) -> bool:
        return self.kind not in WITHOUT_BAND

    @property
    def total_bars(self) -> int:
        """Bars of the file without the count-in and the band's ending."""
        return self.bars * 2 if self.loops else self.bars


@dataclass(frozen=True, slots=True)
class Extent:
    """Bars of a lick where it is first placed whole, and the ids of its sounds there."""

    slug: str
    name: str
    first_bar: int
    bars: int
    event_ids: frozenset[str]


def plan(
    score: Score, tempos_bpm: Iterable[Fraction] = (), harps: Iterable[Harp] = ()
) -> tuple[Recording, ...]:
    """Every recording of a tune, slow tempos first; the tune's own tempos where none are given.

    `harps`: others to play the same tab on, after the tune's own.
    """
    tempos = tuple(tempos_bpm) or score.tune.tempos_bpm
    own = score.tune.harp
    others = [harp for harp in dict.fromkeys(harps) if harp != own]
    licks = tuple(extents(score))
    made: list[Recording] = []
    for harp in (own, *others):
        for tempo_bpm in tempos:
            made += _at(score, licks, tempo_bpm, harp)
    return tuple(made)


def _at(
    score: Score, licks: tuple[Extent, ...], tempo_bpm: Fraction, harp: Harp
) -> Iterator[Recording]:
    rhythm = chord_rhythm(score)
    for kind in Kind:
        if kind in OF_LICKS:
            continue
        heard: frozenset[str] | None = None
        if kind is Kind.TRADING:
            heard = traded(score)
        elif kind is Kind.RHYTHM:
            heard = rhythm
        if heard is not None and not heard:
            continue  # nothing of the harp's to be heard
        if kind in (Kind.DEMONSTRATION, Kind.AMPLIFIED, Kind.PRACTICE) and not score.events:
            continue
        if kind is Kind.DRONE and not score.tune.form.bars:
            continue
        title = f"{score.tune.title}: {_WORDS[kind]}"
        yield Recording(
            name=_name(kind.value, tempo_bpm, harp, score),
            title=_title(title, tempo_bpm, harp, score),
            kind=kind,
            tempo_bpm=tempo_bpm,
            harp=harp,
            bars=score.bars,
            event_ids=heard,
        )
    for lick in licks:
        for kind in (Kind.LICK, Kind.LICK_BAND, Kind.LICK_LOOP):
            title = f"{score.tune.title}, {lick.name}: {_WORDS[kind]}"
            yield Recording(
                name=_name(f"lick-{lick.slug}-{kind.value}", tempo_bpm, harp, score),
                title=_title(title, tempo_bpm, harp, score),
                kind=kind,
                tempo_bpm=tempo_bpm,
                harp=harp,
                lick=lick.slug,
                first_bar=lick.first_bar,
                bars=lick.bars,
                event_ids=lick.event_ids,
            )


_WORDS = {
    Kind.DEMONSTRATION: "demonstration",
    Kind.AMPLIFIED: "demonstration, amplified",
    Kind.BACKING: "the band alone",
    Kind.PRACTICE: "harp left, band right",
    Kind.TRADING: "trading, four bars each",
    Kind.LICK: "alone",
    Kind.LICK_BAND: "with the band",
    Kind.LICK_LOOP: "round and round, with bars to answer in",
    Kind.RHYTHM: "the chord rhythm",
    Kind.DRONE: "a drone on the chord's root",
    Kind.CLICK: "the clicks alone",
}


def _name(what: str, tempo_bpm: Fraction, harp: Harp, score: Score) -> str:
    number = f"{float(tempo_bpm):g}".replace(".", "-")
    own = harp == score.tune.harp
    on = "" if own else "-on-" + slug(harp.name.replace("#", " sharp"))
    return f"{FOLDER}/{what}-{number}{on}"


def _title(text: str, tempo_bpm: Fraction, harp: Harp, score: Score) -> str:
    on = "" if harp == score.tune.harp else f", on a harp in {harp.name}"
    return f"{text}, {float(tempo_bpm):g} beats a minute{on}"


def extents(score: Score) -> Iterator[Extent]:
    """Each lick that is placed and sounds, in the order written."""
    first: dict[str, tuple[bool, Placement]] = {}
    for placement in score.order.placements:
        if placement.lick is not None:
            name = placement.lick.lick.slug
            cut = _is_cut(placement)
            if name not in first or (first[name][0] and not cut):
                first[name] = cut, placement
    by_lick: dict[str, list[tuple[Fraction, str]]] = {}
    for event in score.events:
        by_lick.setdefault(slug(event.lick), []).append((event.start, event.id))
    beats = score.tune.meter.beats
    for name in score.tune.licks:
        if name not in first:
            continue
        placement = first[name][1]
        start = (placement.start + placement.first - placement.base) * beats
        end = placement.end * beats
        ids = frozenset(i for at, i in by_lick.get(name, ()) if start <= at < end)
        if ids:
            begin = placement.start + max(placement.first - placement.base, 0)
            lick = score.tune.licks[name].lick
            yield Extent(name, lick.name, begin, max(placement.end - begin, 1), ids)


def _is_cut(placement: Placement) -> bool:
    lick = placement.lick
    entry = placement.entry
    whole = lick is not None and (placement.first, placement.last) == (lick.first, lick.last)
    return not whole or entry.from_beat is not None or entry.to_beat is not None


def chord_rhythm(score: Score) -> frozenset[str]:
    """Ids of the sounds of licks that are mostly chords: two or more holes side by side."""
    counts: dict[str, list[int]] = {}
    for event in score.events:
        holes = [note.hole for note in event.sound.notes]
        chord = len(holes) > 1 and holes[-1] - holes[0] + 1 == len(holes)
        count = counts.setdefault(event.lick, [0, 0])
        count[0] += chord
        count[1] += 1
    mostly = {lick for lick, (chords, sounds) in counts.items() if 2 * chords > sounds}
    return frozenset(event.id for event in score.events if event.lick in mostly)


def traded(score: Score) -> frozenset[str]:
    """Ids of the sounds the harp plays when it leaves every other four bars to the student: bars 1
    to 4 of a chorus, 9 to 12 and so on; in every second chorus the others. A pickup belongs to the
    bars it leads into. Empty when that leaves the student nothing."""
    beats = score.tune.meter.beats
    bars = [(event.id, int(event.start // beats) + _is_pickup(event)) for event in score.events]
    mine = frozenset(identity for identity, bar in bars if _teachers(score, bar))
    return mine if len(mine) < len(bars) else frozenset()


def _is_pickup(event: Event) -> bool:
    """Whether it was written in bar 0 of its lick, as its id says."""
    return event.id.rpartition(":")[2].startswith("0.")


def _teachers(score: Score, bar: int) -> bool:
    chorus, number = score.order.place_of(bar)
    return ((number - 1) // TRADE_BARS + chorus - 1) % 2 == 0
