"""Played notes for tests of the voice, made from tunes as a teacher writes them."""

from fractions import Fraction

from reedwright.performance.perform import perform
from reedwright.performance.play import play
from reedwright.performance.playing import Played
from reedwright.tune.place import place
from reedwright.tune.read import read_tune


def played(
    bars: str, *, harp: str = "C", tempo: int = 60, manner: str = "medium", human: float = 0.0
) -> Played:
    """A lick as it is played; `bars` as in a tune file, `1: 4d . . .` and so on."""
    text = (
        f"Title: Voice\nHarp: {harp}\nPosition: 2\nFeel: straight\nTempo: {tempo}\n\n"
        f"Lick A (cup open, {manner})\n{bars}\n\nChorus\n1 A\n"
    )
    return play(perform(place(read_tune(text, "voice.reed")), Fraction(tempo)), human=human)


def held(notes: list[str], **how: object) -> Played:
    """Each note by itself: two beats of sound, then silence for two."""
    bars = "\n".join(f"{bar}: {note} = . ." for bar, note in enumerate(notes, 1))
    return played(bars, **how)  # type: ignore[arg-type]
