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
from math import ceil

from reedwright.errors import Problem, SettingError
from reedwright.harp.harp import Harp
from reedwright.performance.perform import check_tempo
from reedwright.sound.heard import Extent, chord_rhythm, extents, traded
from reedwright.tune.place import Score
from reedwright.tune.values import slug

FOLDER = "audio"


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
    STEM = "stem"  # one part of the mix by itself, for a mix of one's own
    PAGE = "page"  # the harp or the whole band by itself, for the student's page


OF_LICKS = frozenset({Kind.LICK, Kind.LICK_BAND, Kind.LICK_LOOP})
OF_PARTS = frozenset({Kind.STEM, Kind.PAGE})
WITHOUT_HARP = frozenset({Kind.BACKING, Kind.DRONE, Kind.CLICK})
WITHOUT_BAND = frozenset({Kind.LICK, Kind.RHYTHM, Kind.DRONE, Kind.CLICK})

HARP_STEMS = ("harp", "harp-amplified")
BAND_STEMS = ("drums", "bass", "guitar", "keys")
PAGE_PARTS = ("harp", "band")
FORMLESS = ("drums", "bass")
"""What the band plays in a tune without a form."""

MOST_S = 1_200.0
"""The longest recording made: 20 minutes, for which 4 GB of memory do (measured)."""


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
        part: of a stem, one of HARP_STEMS, BAND_STEMS or `click`; for the page, of PAGE_PARTS.
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
    part: str = ""

    @property
    def loops(self) -> bool:
        """Whether its end meets its beginning; it has no count-in then."""
        return self.kind is Kind.LICK_LOOP

    @property
    def with_harp(self) -> bool:
        return self.part in HARP_STEMS if self.part else self.kind not in WITHOUT_HARP

    @property
    def with_band(self) -> bool:
        if self.part:
            return self.part in BAND_STEMS or self.part == "band"
        return self.kind not in WITHOUT_BAND

    @property
    def total_bars(self) -> int:
        """Bars of the file without the count-in and the band's ending."""
        return self.bars * 2 if self.loops else self.bars


def plan(
    score: Score,
    tempos_bpm: Iterable[Fraction] = (),
    harps: Iterable[Harp] = (),
    *,
    stems: bool = False,
) -> tuple[Recording, ...]:
    """Every recording of a tune, slow tempos first; the tune's own tempos where none are given.

    `harps`: others to play the same tab on, after the tune's own. `stems`: each part by itself as
    well. Errors: SettingError for a tempo nobody can count, or so slow that a recording lasts
    longer than MOST_S.
    """
    tempos = tuple(tempos_bpm) or score.tune.tempos_bpm
    for tempo_bpm in tempos:
        check_tempo(tempo_bpm)
        _check_length(score, tempo_bpm)
    own = score.tune.harp
    others = [harp for harp in dict.fromkeys(harps) if harp != own]
    licks = tuple(extents(score))
    made: list[Recording] = []
    for harp in (own, *others):
        for tempo_bpm in tempos:
            made += _at(score, licks, tempo_bpm, harp)
            made += _stems(score, tempo_bpm, harp) if stems else ()
    return tuple(made)


def not_made(score: Score) -> tuple[str, ...]:
    """Which recordings a tune does not get, and why, in words for people."""
    said = []
    if not score.events:
        said.append("no demonstration and no licks: the tune has no sounds")
    elif not chord_rhythm(score):
        said.append("no chord rhythm: no lick is mostly chords of two or more holes")
    if score.events and not traded(score):
        said.append("no trading: no sound of the harp falls into the student's bars")
    if not score.tune.form.bars:
        said.append("no drone: the tune has no form")
    return tuple(said)


def _check_length(score: Score, tempo_bpm: Fraction) -> None:
    bars = score.bars + score.tune.count_in_bars
    length_s = float(bars * score.tune.meter.beats * 60 / tempo_bpm)
    if length_s > MOST_S:
        slowest = ceil(float(tempo_bpm) * length_s / MOST_S)
        raise SettingError(
            Problem(
                found=f"{score.bars} bars at {float(tempo_bpm):g} last {length_s / 60:.0f} minutes",
                rule=f"A recording lasts {MOST_S / 60:.0f} minutes at most",
                mend=f"choose tempos from {slowest} up, or fewer choruses",
            )
        )


def page_parts(score: Score, tempos_bpm: Iterable[Fraction] = ()) -> tuple[Recording, ...]:
    """What the student's page plays, at each tempo: the harp and the band by themselves, as loud as
    they are in the mix. Errors: as `plan`."""
    tempos = tuple(tempos_bpm) or score.tune.tempos_bpm
    for tempo_bpm in tempos:
        check_tempo(tempo_bpm)
        _check_length(score, tempo_bpm)
    parts = PAGE_PARTS if score.events else ("band",)
    harp = score.tune.harp
    return tuple(
        _part(score, Kind.PAGE, part, tempo_bpm, harp) for tempo_bpm in tempos for part in parts
    )


def _stems(score: Score, tempo_bpm: Fraction, harp: Harp) -> Iterator[Recording]:
    parts = HARP_STEMS if score.events else ()
    band = BAND_STEMS if score.tune.form.bars else FORMLESS
    for part in (*parts, *band, "click"):
        yield _part(score, Kind.STEM, part, tempo_bpm, harp)


def _part(score: Score, kind: Kind, part: str, tempo_bpm: Fraction, harp: Harp) -> Recording:
    """One part of the mix by itself."""
    return Recording(
        name=_name(f"{kind.value}-{part}", tempo_bpm, harp, score),
        title=_title(f"{score.tune.title}: {part.replace('-', ', ')}", tempo_bpm, harp, score),
        kind=kind,
        tempo_bpm=tempo_bpm,
        harp=harp,
        bars=score.bars,
        part=part,
    )


def _at(
    score: Score, licks: tuple[Extent, ...], tempo_bpm: Fraction, harp: Harp
) -> Iterator[Recording]:
    rhythm = chord_rhythm(score)
    for kind in Kind:
        if kind in OF_LICKS or kind in OF_PARTS:
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
