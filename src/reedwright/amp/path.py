"""The page about a rig: its signal path in levels, gain before feedback, how long one may listen.

Conventions: one measured rig in, lines of text or a JSON document out. Levels are rounded to whole
decibels for people. A level at a distance is the speaker's direct sound, 6 dB less for twice the
distance, counted as A-weighted.
"""

from __future__ import annotations

import textwrap
from math import log10
from typing import Any

from reedwright.amp.exposure import CHILD_DBA, dose_percent, hours_a_day, hours_a_week, in_words
from reedwright.amp.feedback import feedback
from reedwright.amp.probe import BLOWS, NOTE_HZ, Reading, readings
from reedwright.amp.rig import Rig

SCHEMA = "reedwright.amp/1"

_HEARING = (
    "Loud sound harms hearing for good, without pain. Keep some distance from the speaker, wear "
    "ear protection in loud rooms, take breaks; see a doctor about an ear that rings or feels dull."
)
_HOWL = "A howl is feedback: turn down at once, or turn the microphone away from the speaker."
_TUBES = (
    "Amplifiers with tubes hold 250 to 500 V, and their capacitors stay charged after they are "
    "switched off. Never open one: repairs are for a qualified technician. Mains and stage wiring "
    "follow the local electrical code."
)
CAUTIONS = (_HEARING, _HOWL, _TUBES)


def document(rig: Rig) -> dict[str, Any]:
    """The page for a program."""
    measured = [(blow, readings(rig, blow)) for blow in BLOWS]
    gains, plan, ears = feedback(rig.stage), rig.stage, rig.listening
    loudest = _speaker_db(measured[-1][1])
    player_dba = _farther(loudest, plan.microphone_to_speaker_m)
    return {
        "schema": SCHEMA,
        "name": rig.name,
        "key": rig.key,
        "note_hz": NOTE_HZ,
        "path": [
            {
                "played": blow.name,
                "level_dbfs": blow.level_dbfs,
                "openness": blow.openness,
                "stages": [_row(reading) for reading in stages],
            }
            for blow, stages in measured
        ],
        "effects": _effects(rig),
        "feedback": {
            "potential_gain_db": round(gains.potential_db, 2),
            "usable_gain_db": round(gains.usable_db, 2),
            "needed_gain_db": round(gains.needed_db, 2),
            "spare_db": round(gains.spare_db, 2),
        },
        "exposure": [
            _day("at the player, from the speaker", player_dba, None),
            _day("as the amp file says", ears.level_dba, ears.hours_a_day),
            _week(ears.headphones_dba, ears.headphones_hours_a_week),
        ],
        "cautions": list(CAUTIONS),
    }


def page(told: dict[str, Any]) -> list[str]:
    """The page for a person, from a `document`."""
    return [
        f"{told['name']}: a note of {NOTE_HZ} Hz through every stage",
        "",
        *_path_lines(told["path"]),
        f"  then: {', '.join(told['effects']) or 'no effects'}",
        "",
        *_feedback_lines(told["feedback"]),
        "",
        *_exposure_lines(told["exposure"]),
        "",
        *(line for caution in told["cautions"] for line in _wrapped(f"Caution: {caution}")),
    ]


def _row(reading: Reading) -> dict[str, Any]:
    row: dict[str, Any] = {
        "stage": reading.stage,
        "level_db": round(reading.level_db, 1),
        "unit": reading.unit,
        "distortion_percent": round(reading.distortion_percent, 2),
    }
    return row if reading.watts is None else row | {"watts": round(reading.watts, 4)}


def _effects(rig: Rig) -> list[str]:
    named = (
        (rig.tremolo.depth_percent, f"tremolo {rig.tremolo.rate_hz:g} Hz"),
        (rig.echo.share_percent, f"slap echo {rig.echo.delay_ms:g} ms"),
        (rig.spring.share_percent, f"springs {rig.spring.decay_s:g} s"),
        (rig.room.share_percent, f"room {rig.room.length_m:g} x {rig.room.width_m:g} m"),
    )
    return [f"{name}, {share:g} %" for share, name in named if share]


def _speaker_db(stages: tuple[Reading, ...]) -> float:
    return next(reading.level_db for reading in stages if reading.stage == "speaker")


def _farther(at_1_m_db: float, metres: float) -> float:
    return at_1_m_db - 20 * log10(metres)


def _day(what: str, level_dba: float, hours: float | None) -> dict[str, Any]:
    allowed = hours_a_day(level_dba)
    used = None if hours is None else round(dose_percent(hours, allowed))
    return {
        "what": what,
        "rule": "NIOSH",
        "level_dba": round(level_dba, 1),
        "allowed_hours_a_day": round(min(allowed, 24.0), 4),
        "used_hours": hours,
        "used_percent": used,
    }


def _week(level_dba: float, hours: float) -> dict[str, Any]:
    allowed = hours_a_week(level_dba)
    return {
        "what": "on headphones",
        "rule": "ITU-T H.870",
        "level_dba": level_dba,
        "allowed_hours_a_week": round(min(allowed, 168.0), 4),
        "allowed_hours_a_week_children": round(min(hours_a_week(level_dba, CHILD_DBA), 168.0), 4),
        "used_hours": hours,
        "used_percent": round(dose_percent(hours, allowed)),
    }


def _path_lines(path: list[dict[str, Any]]) -> list[str]:
    lines = [f"  {'':<12}" + "".join(f"{way['played']:<34}" for way in path).rstrip()]
    for rows in zip(*(way["stages"] for way in path), strict=True):
        cells = "".join(f"{_cell(row):<34}" for row in rows)
        lines.append(f"  {rows[0]['stage']:<12}{cells}".rstrip())
    return lines


def _cell(row: dict[str, Any]) -> str:
    level = f"{row['level_db']:5.0f} {row['unit']}"
    watts = f", {row['watts']:.2g} W" if "watts" in row else ""
    bent = row["distortion_percent"]
    return level + watts + (f", {bent:.2g} % dist." if bent >= _CLEAN_PERCENT else "")


_CLEAN_PERCENT = 0.05  # less is not worth a line


def _feedback_lines(gains: dict[str, float]) -> list[str]:
    potential, usable = gains["potential_gain_db"], gains["usable_gain_db"]
    needed, spare = gains["needed_gain_db"], gains["spare_db"]
    verdict = (
        f"{spare:.1f} dB in hand."
        if spare >= 0
        else f"{-spare:.1f} dB short: go nearer to the microphone, move the speaker nearer to the "
        "listeners and away from the microphone, or open fewer microphones."
    )
    return [
        "Gain before feedback, from the stage plan",
        f"  possible {potential:.1f} dB; less 6 dB in hand and open microphones {usable:.1f} dB",
        f"  needed for the farthest listener {needed:.1f} dB",
        *_wrapped(verdict, "  "),
    ]


def _exposure_lines(rows: list[dict[str, Any]]) -> list[str]:
    lines = ["How long at that level"]
    for row in rows:
        if "allowed_hours_a_day" in row:
            allowed = _time(row["allowed_hours_a_day"], 24.0, "day")
        else:
            allowed = _time(row["allowed_hours_a_week"], 168.0, "week")
            young = in_words(row["allowed_hours_a_week_children"], 168.0, "week")
            allowed += f", children {young}"
        used = "" if row["used_percent"] is None else f"; yours uses {row['used_percent']} %"
        what = f"{row['what']}, {row['level_dba']:.0f} dBA"
        lines += _wrapped(f"{what}: {allowed} ({row['rule']}){used}", "  ")
    return lines


def _time(hours: float, whole: float, period: str) -> str:
    words = in_words(hours, whole, period)
    return words if hours >= whole else f"{words} a {period}"


def _wrapped(text: str, indent: str = "") -> list[str]:
    return textwrap.wrap(text, 80, initial_indent=indent, subsequent_indent=indent)
