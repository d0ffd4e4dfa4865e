"""From a placed tune to what the band plays under it: one pure step, linear in its bars.

Conventions: see `values`; the rules are `data/band.toml`'s or a teacher's own. The band enters on
bar 1 and plays to the end of its own ending. In a tune without a form drums and bass play, the
bass on the key's root and fifth. All choices are keyed by (seed, chorus, bar).
"""

from __future__ import annotations

from reedwright.band.bass import Bass
from reedwright.band.comping import comping
from reedwright.band.drums import drums
from reedwright.band.form import bars_of
from reedwright.band.rules import Rules
from reedwright.band.rulesfile import rules as usual_rules
from reedwright.band.session import Session
from reedwright.band.styles import style_of
from reedwright.band.values import Arrangement, BandNote, Options, Part
from reedwright.band.voicing import Voicings
from reedwright.tune.place import Score


def arrange(
    score: Score,
    *,
    seed: int = 0,
    options: Options | None = None,
    rules: Rules | None = None,
) -> Arrangement:
    """What the band plays under a score. Errors: SettingError for a style that is not there, or
    for a stop or a break where the band has no bar; those of the rules' own file."""
    options = options or Options()
    rules = rules or usual_rules()
    tune = score.tune
    style = style_of(tune, rules, options.style or tune.band)
    session = Session(tune, rules, style, seed, options)
    bars = bars_of(score, options, rules.phrase)
    bass, voicings = Bass(session, bars), Voicings(rules, tune.key, minor=tune.minor)
    notes: dict[Part, list[BandNote]] = {part: [] for part in Part}
    for number, bar in enumerate(bars):
        notes[Part.DRUMS] += drums(session, bar)
        notes[Part.BASS] += bass.bar(number, bar)
        for part in (Part.GUITAR, Part.KEYS):
            notes[part] += comping(session, bar, part, voicings)
    return Arrangement(
        score=score,
        style=style.name,
        seed=seed,
        keys=style.keyboard,
        bars=bars,
        notes={part: tuple(played) for part, played in notes.items()},
    )
