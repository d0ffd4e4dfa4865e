"""The events of a lesson as plain values; conventions as in `as_json`."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from reedwright.harmony.tones import EventHarmony, tones
from reedwright.harmony.zones import Zone, blue_thirds
from reedwright.harp.harp import Harp
from reedwright.tune.events import Event
from reedwright.tune.findings import decimal_beat
from reedwright.tune.place import Score
from reedwright.tune.tokens import format_sound
from reedwright.tune.values import Sound


def event_rows(
    score: Score,
    words: Mapping[str, str] | None = None,
    heard: Iterable[EventHarmony] | None = None,
) -> list[dict[str, Any]]:
    """A row for every event. `words`: sentences by id; `heard`: the events' `tones`, if somebody
    has worked them out. Errors: TuneError for notes the harp lacks."""
    said = words or {}
    tune = score.tune
    zones = () if tune.minor else blue_thirds(tune.harp, tune.key)
    fifths = tune.fifths
    drawn: dict[Sound, _Drawn] = {}  # the same few sounds fill a tune
    rows: list[dict[str, Any]] = []
    for event, harmony in zip(score.events, heard or tones(score), strict=True):
        sound = drawn.get(event.sound)
        if sound is None:
            zone = _zone_cents(zones, event.sound)
            sound = drawn[event.sound] = _drawn(tune.harp, event.sound, zone)
        rows.append(_event(event, harmony, fifths, sound) | {"words": said.get(event.id, "")})
        rows[-1]["zone_cents"] = sound.zone_cents
    return rows


class _Drawn(NamedTuple):
    """What is said of a sound wherever it stands."""

    reeds: dict[str, Any]
    signs: dict[str, Any]
    zone_cents: list[int] | None


def _event(event: Event, harmony: EventHarmony, fifths: int, sound: _Drawn) -> dict[str, Any]:
    return {
        "id": event.id,
        "chorus": event.chorus,
        "lick": event.lick,
        "bar": event.bar,
        "beat": decimal_beat(event.beat),
        "beat_exact": str(event.beat),
        "start_exact": str(event.start),
        "length_beats": decimal_beat(event.length),
        "length_exact": str(event.length),
        **sound.reeds,
        "degree": [tone and tone.degree for tone in harmony.tones],
        "chord_degree": [(tone and tone.chord_degree) or None for tone in harmony.tones],
        "why": [tone and tone.why for tone in harmony.tones],
        "chord": None if harmony.chord is None else harmony.chord.name(fifths),
        "landing": harmony.landing,
        **sound.signs,
        "cup": event.cup.value,
        "loudness": event.loudness.value,
    }


def _drawn(harp: Harp, sound: Sound, zone_cents: list[int] | None) -> _Drawn:
    shake = sound.shake
    pitches = [None if harp.why_not(note) else note for note in sound.reeds]
    reeds = {
        "tab": [str(note) for note in sound.reeds],
        "breath": sound.breath.value,
        "midi": [note and harp.midi(note) for note in pitches],
        "hertz": [note and round(harp.hertz(note), 3) for note in pitches],
    }
    signs = {
        "shake": None if shake is None else format_sound(Sound((shake,))),
        "marks": [
            {"mark": mark.kind.word, "amount": decimal_beat(mark.amount)} for mark in sound.marks
        ],
    }
    return _Drawn(reeds, signs, zone_cents)


def _zone_cents(zones: Iterable[Zone], sound: Sound) -> list[int] | None:
    """From where to where a single note may lie without being wrong: the blue third is the whole
    way between the minor and the major third in its hole. None for every other note."""
    if len(sound.reeds) == 1:
        for zone in zones:
            if sound.reeds[0] in (zone.bottom, zone.top):
                return [0, 100] if sound.reeds[0] == zone.bottom else [-100, 0]
    return None
