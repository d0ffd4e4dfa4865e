"""The figures in docs/performance.md are those of the code."""

import re
from pathlib import Path

import pytest

from reedwright.performance import habits as h

TEXT = Path(__file__).resolve().parents[2].joinpath("docs", "performance.md").read_text("utf-8")
PLAYED = " ".join(TEXT[TEXT.index("## How it is played") : TEXT.index("## The MIDI file")].split())


def ms(seconds: float) -> str:
    return f"{seconds * 1000:g} ms"


def percent(share: float) -> str:
    return f"{share * 100:g} %"


SAID = [
    f"{ms(h.JND_S)}, from 240 ms between eighths on {percent(h.JND_SHARE)}",
    f"their spread is {(h.DRIFT**2 + h.JITTER**2) ** 0.5:.2f} of it",
    f"With 0 every onset is exact; {h.MOST_HUMAN:g} is the most",
    f"tongued again after a gap of {ms(h.TONGUE_GAP_S)}",
    f"a gap of {ms(h.TURN_GAP_S)} for the turn",
    f"its pitch glides in {ms(h.SLUR_S)}",
    f"from {h.SCOOP_CENTS:g} cents below in {ms(h.SCOOP_S)}",
    f"a bend from {h.BENT_SCOOP_CENTS:g} cents in {ms(h.BENT_SCOOP_S)}",
    f"a glide of {ms(h.DIP_S)} from below",
    f"the last {ms(h.FALL_S)}, half of a short note",
    f"the breath goes down to {percent(h.FALL_BREATH)}",
    f"pitch to {h.THROAT_CENTS:g} cents below and breath down by {percent(h.THROAT_BREATH)}",
    f"the hands alone, {percent(h.HAND_DEPTH)} of their way, at its rate or {h.VIBRATO_HZ:g} a",
    f"breath down by {percent(h.FLUTTER_BREATH)}, {h.FLUTTER_HZ:g} times a second",
    f"about {h.SHAKE_HZ:g} changes a second",
    f"the natural notes on its way, {ms(h.RAKE_STEP_S)} each",
    f"for its first {ms(h.SLAP_S)}",
    f"for its last {ms(h.PULL_S)}",
    f"they need {ms(h.CUP_MOVE_S)} from one to the other",
    "breath " + ", ".join(f"{breath:g}" for breath in h.BREATH.values()) + ", of 1",
    f"{percent(h.ACCENT)} more breath at first, {percent(h.ACCENT_KEPT)} after {ms(h.ACCENT_S)}",
    f"begin {ms(h.VIBRATO_DELAY_S)} after the pitch is reached and need {ms(h.VIBRATO_GROWTH_S)}",
    f"No rate above {h.FASTEST_HZ:g} a second",
    f"({ms(h.TONGUE_RISE_S)} to full breath)",
    f"very soft ({ms(h.BREATH_RISE_S)}), and stops in {ms(h.RELEASE_S)}",
    f"up to {percent(h.BREATH_SPREAD)} from note to note",
    f"the depth of scoops by up to {percent(h.SCOOP_SPREAD)}",
    f"stays {h.INSIDE_CENTS:g} cents above the lower one",
    f"{100 - h.INSIDE_CENTS:g} cents deep at most",
    f"only sways by {h.SWAY_CENTS:g} cents",
    f"an overbend is {h.OVER_SWAY_CENTS:g} cents flat at most",
]


@pytest.mark.parametrize("said", SAID)
def test_the_figures_are_those_of_the_code(said: str) -> None:
    assert said in PLAYED


def test_every_mark_is_described() -> None:
    rows = re.findall(r"\| (dip|fall|throat vibrato|hand vibrato|flutter|wah|shake|rake|slap|pull"
                      r"|accent|ghost) \|", PLAYED)  # fmt: skip
    assert len(set(rows)) == 12
    assert (h.GHOST, h.WAH_PER_BEAT, h.GAP_SHARE, h.NEIGHBOURS) == (0.5, 1.0, 0.25, 2)  # in words
