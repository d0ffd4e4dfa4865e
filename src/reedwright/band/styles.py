"""Which style a tune is played in: the one asked for, or the first one that fits it.

Conventions: the tune's full tempo decides, so that every tempo of its ladder has one arrangement.
A compound meter counts as swung: its triplets are what a shuffle is made of.
"""

from __future__ import annotations

from difflib import get_close_matches

from reedwright.band.rules import Rules, Style
from reedwright.errors import Problem, SettingError
from reedwright.harp.pitch import shown
from reedwright.tune.tune import Tune


def style_of(tune: Tune, rules: Rules, asked: str = "") -> Style:
    """Errors: SettingError for a style that is not in the rules, or when none fits."""
    if asked:
        return _named(rules, asked)
    tempo_bpm = tune.full_tempo_bpm
    swing = tune.meter.compound or tune.feel.ratio_at(tempo_bpm) > 1
    for style in rules.styles.values():
        if style.when.fits(
            compound=tune.meter.compound, swing=swing, minor=tune.minor, tempo_bpm=tempo_bpm
        ):
            return style
    raise SettingError(
        Problem(
            found="no style of the band fits this tune",
            rule="A style fits by meter, swing, mode and tempo (the rules of the band say how)",
            mend="ask for one of " + ", ".join(rules.styles),
        )
    )


def _named(rules: Rules, asked: str) -> Style:
    plain = " ".join(asked.lower().split())
    if plain in rules.styles:
        return rules.styles[plain]
    close = get_close_matches(plain, rules.styles, n=1)
    raise SettingError(
        Problem(
            found=f"unknown style {shown(asked)}",
            rule="Styles of the band are " + ", ".join(rules.styles),
            mend=f"did you mean {close[0]}?" if close else "write one of them",
        )
    )
