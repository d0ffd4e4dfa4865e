"""The head of a MusicXML score, and what its first bar says: clef, key, meter, tempo, feel.

Conventions: `sound tempo` counts quarters a minute, the metronome mark counted beats. No date and
no name of a machine is written, so that the same tune gives the same bytes. An octave clef is used
where most notes would stand far outside the staff (common practice). General MIDI's harmonica is
program 23, counted from 1.
"""

from __future__ import annotations

from fractions import Fraction
from statistics import median_low

from reedwright import __version__
from reedwright.harp.position import position_name
from reedwright.sheet.options import SheetOptions
from reedwright.sheet.pitches import Pitches
from reedwright.sheet.rhythm import Rhythm
from reedwright.sheet.xmlwriter import direction, escaped
from reedwright.tune.place import Score

_LOW, _HIGH = 55, 89  # G3 and F6, the middle note beyond which an octave clef reads better; by eye


def score_head(score: Score) -> str:
    """From the XML declaration to the start of the part."""
    tune = score.tune
    about = {
        "harp": tune.harp.name,
        "position": position_name(tune.position),
        "key": tune.key_name,
        "feel": tune.feel.name,
        "form": tune.form.name,
        "tempos": ", ".join(_number(tempo) for tempo in tune.tempos_bpm),
    }
    about |= {f"remark {number}": text for number, text in enumerate(tune.remarks, 1)}
    fields = "".join(
        f'<miscellaneous-field name="{name}">{escaped(text)}</miscellaneous-field>\n'
        for name, text in about.items()
        if text
    )
    by = f'<creator type="composer">{escaped(tune.by)}</creator>\n' if tune.by else ""
    rights = f"<rights>{escaped(tune.rights)}</rights>\n" if tune.rights else ""
    return (
        '<?xml version="1.0" encoding="UTF-8" standalone="no"?>\n'
        '<score-partwise version="4.0">\n'
        f"<work><work-title>{escaped(tune.title)}</work-title></work>\n"
        f"<identification>\n{by}{rights}<encoding><software>Reedwright {__version__}</software>"
        '<supports element="accidental" type="yes"/><supports element="beam" type="yes"/>'
        '<supports element="print" attribute="new-system" type="yes" value="yes"/></encoding>\n'
        f"<miscellaneous>\n{fields}</miscellaneous>\n</identification>\n"
        '<part-list><score-part id="P1"><part-name print-object="no">Harmonica</part-name>'
        '<score-instrument id="P1-I1"><instrument-name>Harmonica</instrument-name>'
        "<instrument-sound>wind.reed.harmonica</instrument-sound></score-instrument>"
        '<midi-instrument id="P1-I1"><midi-channel>1</midi-channel>'
        "<midi-program>23</midi-program></midi-instrument></score-part></part-list>\n"
        '<part id="P1">\n'
    )


def attributes(score: Score, rhythm: Rhythm) -> str:
    """Divisions, key, time and clef."""
    tune = score.tune
    mode = "minor" if tune.minor else "major"
    return (
        f"<attributes><divisions>{rhythm.divisions}</divisions>"
        f"<key><fifths>{tune.fifths}</fifths><mode>{mode}</mode></key>"
        f"<time><beats>{tune.meter.upper}</beats><beat-type>{tune.meter.lower}</beat-type></time>"
        f"<clef><sign>G</sign><line>2</line>{_octave_change(score)}</clef></attributes>\n"
    )


def _octave_change(score: Score) -> str:
    change = clef_octave(score)
    return f"<clef-octave-change>{change}</clef-octave-change>" if change else ""


def clef_octave(score: Score) -> int:
    """Octaves by which the clef moves what is written: 1 up, −1 down, mostly 0."""
    pitches = Pitches(score)
    tops = [pitches.midis(event)[-1] for event in score.events]
    middle = median_low(tops) if tops else _LOW
    return -1 if middle < _LOW else 1 if middle > _HIGH else 0


def tempo_and_feel(score: Score, options: SheetOptions) -> str:
    """Metronome mark and swing."""
    tune = score.tune
    tempo = options.tempo_bpm or tune.full_tempo_bpm
    dot = "<beat-unit-dot/>" if tune.meter.compound else ""
    said = (
        f"<metronome><beat-unit>quarter</beat-unit>{dot}"
        f"<per-minute>{_number(tempo)}</per-minute></metronome>"
    )
    quarters = _number(tempo * tune.meter.beat_quarters)
    return direction(said, f'<sound tempo="{quarters}"/>') + _feel(score, tempo)


def _feel(score: Score, tempo: Fraction) -> str:
    feel = score.tune.feel
    if score.tune.meter.compound or feel.name == "straight":
        return ""
    ratio = feel.ratio_at(tempo)
    swing = (
        "<straight/>"
        if ratio == 1
        else f"<first>{ratio.numerator}</first><second>{ratio.denominator}</second>"
        "<swing-type>eighth</swing-type>"
    )
    name = escaped(feel.name[:1].upper() + feel.name[1:])
    return direction(f"<words>{name}</words>", f"<sound><swing>{swing}</swing></sound>")


def _number(value: Fraction) -> str:
    return f"{float(value):.10g}"
