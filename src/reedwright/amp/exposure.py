"""How long a level is allowed: for the day at work or in a band, and for the week on headphones.

Conventions: A-weighted levels, an exchange rate of 3 dB: half the time for each 3 dB more. The day:
T = 8 h / 2^((L - 85) / 3) (NIOSH recommended exposure limit, CDC). The week: 80 dBA for 40 h, 75
for children (ITU-T H.870); other levels by equal energy, ten times the power being a tenth of the
time. These are limits for most people, not a promise; they say nothing about an ear that rings.
"""

from __future__ import annotations

DAY_DBA, DAY_HOURS, HALVING_DB = 85.0, 8.0, 3.0
"""NIOSH."""

WEEK_HOURS, ADULT_DBA, CHILD_DBA = 40.0, 80.0, 75.0
"""ITU-T H.870."""


def hours_a_day(level_dba: float) -> float:
    """Hours a day at a level, by NIOSH; above 24 for what may be heard all day."""
    return float(DAY_HOURS / 2 ** ((level_dba - DAY_DBA) / HALVING_DB))


def hours_a_week(level_dba: float, limit_dba: float = ADULT_DBA) -> float:
    """Hours a week at a level on headphones, by ITU-T H.870; above 168 for all week."""
    return float(WEEK_HOURS * 10 ** ((limit_dba - level_dba) / 10))


def dose_percent(hours: float, allowed_hours: float) -> float:
    """What share of the allowed time was used."""
    return 100 * hours / allowed_hours


def in_words(hours: float, whole: float, period: str) -> str:
    """Hours as people say them: `all day`, `4 h`, `1 h 30 min`, `15 min`, `40 s`."""
    if hours >= whole:
        return f"all {period}"
    seconds = round(hours * 3600)
    if seconds < 60:
        return f"{seconds} s" if seconds else "not at all"
    minutes = int(hours * 60 + 1e-9)  # never rounded up
    if minutes < 60:
        return f"{minutes} min"
    return f"{minutes // 60} h" + (f" {minutes % 60} min" if minutes % 60 else "")
