"""The bars the band plays: the tune's, an ending after them, and where it stops.

Conventions: bars of the tune count from 0 here, for people from 1 in each chorus. A tune that
itself goes on past its last chorus sets the ending: the band plays those bars over the chords the
sheet shows there, and strikes its last chord on the last of them. Otherwise the ending is two bars
that go on counting: home and the chord a fifth above it, then home. A `stop` ends the band with a
chord on the first beat of its bar.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from reedwright.band.values import BandBar, Options
from reedwright.errors import Problem, SettingError
from reedwright.tune.chords import Chord
from reedwright.tune.place import Score
from reedwright.tune.tune import Tune

ENDING_BARS = 2
"""Of the band's own ending; from memory."""

FIFTH = 7  # semitones

Chords = tuple[tuple[Fraction, Chord], ...]


def bars_of(score: Score, options: Options, phrase: int) -> tuple[BandBar, ...]:
    """Every bar of the band in order; `fill` where the rules allow a fill.

    Errors: SettingError for a stop or a break at a bar that is not there.
    """
    bars = [_bar(score, number, phrase) for number in range(_written(score, options))]
    if options.ending and bars:
        bars += _own_ending(score, bars[-1]) if not bars[-1].ending else []
        bars[-1] = replace(bars[-1], last=True)
    places = {(bar.chorus, bar.bar): number for number, bar in enumerate(bars)}
    _check_breaks(options, set(places))
    if options.stop is not None:
        if options.stop not in places:
            raise _nowhere("stop", *options.stop)
        bars = bars[: places[options.stop] + 1]
        bars[-1] = replace(bars[-1], last=True)
    return tuple(bars)


def _written(score: Score, options: Options) -> int:
    """Bars of the tune that the band plays."""
    return score.bars if options.ending else min(score.bars, _form_end(score))


def _form_end(score: Score) -> int:
    """The bar after the last chorus of the form."""
    form, starts = score.tune.form, score.order.chorus_starts
    return starts[-1] + len(form.bars) if form.bars and starts else score.bars


def _bar(score: Score, number: int, phrase: int) -> BandBar:
    chorus, bar = score.order.place_of(number)
    end = score.order.chorus_end(chorus)
    past = number >= _form_end(score)
    last = number + 1 == (min(end, _form_end(score)))
    return BandBar(
        chorus=chorus,
        bar=bar,
        start=number * score.tune.meter.beats,
        chords=_chords(score.tune, bar),
        ending=past,
        fill=not past and (last or bar % phrase == 0),
        turn=not past and last,
    )


def _chords(tune: Tune, bar: int) -> Chords:
    """Where each chord begins; one that only goes on is not named again."""
    made: list[tuple[Fraction, Chord]] = []
    for span in tune.form.spans(bar):
        if not made or made[-1][1] != span.chord:
            made.append((span.start, span.chord))
    return tuple(made)


def _own_ending(score: Score, before: BandBar) -> Iterator[BandBar]:
    tune = score.tune
    beats = tune.meter.beats
    for number in range(1, ENDING_BARS + 1):
        chords: Chords = ()
        if tune.form.bars:
            home = home_chord(tune)
            chords = ((Fraction(0), home),)
            if number < ENDING_BARS and beats > 1:
                leading = Chord((home.root + FIFTH) % 12, "7")
                chords += ((Fraction(beats - beats // 2), leading),)
        start = before.start + number * beats
        leads = number < ENDING_BARS
        bar = before.bar + number
        yield BandBar(before.chorus, bar, start, chords, ending=True, fill=leads, turn=leads)


def home_chord(tune: Tune) -> Chord:
    """The chord on the key note as the form first has it, else a plain one."""
    chords = (span.chord for bar in tune.form.bars for span in bar)
    plain = Chord(tune.key, "m7" if tune.minor else "7")
    return next((chord for chord in chords if chord.root == tune.key), plain)


def _check_breaks(options: Options, places: set[tuple[int, int]]) -> None:
    for pause in options.breaks:
        choruses = {pause.chorus} if pause.chorus else {chorus for chorus, _ in places}
        if not any((chorus, pause.bar) in places for chorus in choruses):
            raise _nowhere("break", pause.chorus, pause.bar)


def _nowhere(what: str, chorus: int, bar: int) -> SettingError:
    where = f"bar {bar} of " + (f"chorus {chorus}" if chorus else "any chorus")
    return SettingError(
        Problem(
            found=f"a {what} of the band in {where}",
            rule="The band has no such bar",
            mend="choose a bar of the tune, or of the ending the band adds",
        )
    )
