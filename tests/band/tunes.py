"""Tunes for the band, made by rule: many forms, keys, meters and feels."""

from fractions import Fraction

from reedwright.tune.meter import parse_meter
from reedwright.tune.place import Score, place
from reedwright.tune.read import read_tune

FORMS = {
    "12-bar": "12-bar",
    "quick": "12-bar quick change",
    "old": "12-bar old",
    "8-bar": "8-bar",
    "16-bar": "16-bar",
    "rich": "I6 | I9 / #Idim7 | ii7 | V13 | Imaj7 IV7 | bVII9 | iii7 VI7#9 | ii7 V7sus4 | I | V7#5",
    "minor": "12-bar minor",
    "flat six": "12-bar minor flat six",
    "sad": "i | iim7b5 V7 | im6 | iv7 | bVI7 | V7#9 | i7 iv | idim V7",
}
MAJOR = ("12-bar", "quick", "old", "8-bar", "16-bar", "rich")
MINOR = ("minor", "flat six", "sad")
HARPS = ("C", "A", "F", "D", "Bb", "G", "E", "Ab")


def score(
    form: str = "quick",
    *,
    harp: str = "A",
    meter: str = "4/4",
    feel: str = "shuffle",
    tempo: Fraction | int = 104,
    choruses: int = 4,
    more: str = "",
    licks: str = "",
    chorus: str = "",
) -> Score:
    """A placed tune; `more` header lines, `licks` and what a chorus places are as in a file."""
    bars = f"Form: {FORMS.get(form, form)}\n" if form else ""
    beats = parse_meter(meter).beats
    first = " ".join(["2d", *["."] * (beats - 1)])
    text = (
        f"Title: Made by rule\nHarp: {harp}\nPosition: 2\nMeter: {meter}\nFeel: {feel}\n"
        f"Tempo: {tempo}\n{bars}{more}\n"
        f"Lick One\n1: {first}\n{licks}\n"
        f"Chorus{f', {choruses} times' if choruses > 1 else ''}\n{chorus or '1 One'}\n"
    )
    return place(read_tune(text))


def of_feel(style: str) -> list[Score]:
    """Six tunes of a feel, of different forms, keys, tempos and meters."""
    meters, feel, tempos, forms = {
        "slow": (("12/8", "12/8", "6/8", "9/8"), "straight", (44, 52, 60, 66, 72, 80), MAJOR),
        "shuffle": (("4/4", "4/4", "4/4", "3/4", "2/4"), "shuffle", (84, 96, 112, 126, 140), MAJOR),
        "straight": (("4/4", "4/4", "3/4"), "straight", (80, 92, 104, 116, 124, 130), MAJOR),
        "train": (("4/4", "2/4", "4/4"), "straight", (140, 152, 168, 180, 192, 200), MAJOR),
        "rumba": (("4/4", "4/4", "4/4", "3/4"), "straight", (96, 104, 112, 120, 128, 88), MAJOR),
        "minor": (("4/4", "4/4", "3/4"), "shuffle", (72, 84, 92, 100, 112, 120), MINOR),
    }[style]
    return [
        score(
            forms[n % len(forms)],
            harp=HARPS[n % len(HARPS)],
            meter=meters[n % len(meters)],
            feel=feel,
            tempo=tempos[n % len(tempos)],
        )
        for n in range(6)
    ]
