"""Small tunes for the lesson room."""

from reedwright.lesson.shape import Shapes, Unit
from reedwright.tune.events import Event
from reedwright.tune.place import Score, place
from reedwright.tune.read import read_tune
from reedwright.tune.tokens import format_sound


def score_of(licks: str, chorus: str = "", head: str = "", tempo: str = "Tempo: 60\n") -> Score:
    """A tune in 4/4, straight unless the head says otherwise, on a Richter harp in C."""
    order = f"\nChorus\n{chorus}\n" if chorus else ""
    text = f"Title: Test\nHarp: C\nPosition: 2\n{tempo}{head}\n{licks}\n{order}"
    return place(read_tune(text, "test.reed"))


def lick(*bars: str, name: str = "Call", first: int = 1) -> str:
    """A lick of these bars."""
    return f"Lick {name}\n" + "".join(f"{n}: {bar}\n" for n, bar in enumerate(bars, first))


def of_bars(*bars: str, head: str = "", tempo: str = "Tempo: 60\n") -> Score:
    """A tune of one lick."""
    return score_of(lick(*bars), head=head, tempo=tempo)


def tab(events: tuple[Event, ...]) -> str:
    """The tab of some events."""
    return " ".join(format_sound(event.sound, False) for event in events)


def units(*licks: str, head: str = "") -> tuple[Unit, ...]:
    """Units that are licks of one tune, each written as bars between `|`."""
    written = "\n".join(lick(*bars.split(" | "), name=f"L{n}") for n, bars in enumerate(licks))
    score = score_of(written, head=head)
    events: dict[str, list[Event]] = {}
    for event in score.events:
        events.setdefault(event.lick, []).append(event)
    return tuple(Unit(name.lower(), tuple(found)) for name, found in events.items())


def shapes() -> Shapes:
    """Shapes for 4/4 on a Richter harp in C."""
    return Shapes(score_of(lick("2d . . .")).tune.harp, 4)
