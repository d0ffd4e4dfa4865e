"""Hypothesis strategies for sounds and tunes, shared by every room above the tune room.

`sounds` are any that can be written; `playable_sounds` are of one harp. `tunes_as_text` gives the
`TuneText` of a tune that reads without a fault, `tunes_as_written` its text, `placed_tunes` its
score. Strategies for harps stand in `strategies_harp`.
"""

from dataclasses import dataclass
from fractions import Fraction

from hypothesis import strategies as st

from reedwright.harp.harp import Harp, harp_named
from reedwright.harp.note import MAX_BEND, MAX_HOLES, TabNote
from reedwright.lesson.cuts import Cut, Cuts
from reedwright.lesson.cutting import CutLine
from reedwright.lesson.settings import Size
from reedwright.tune.form import form_names
from reedwright.tune.header import KEYS
from reedwright.tune.marks import MAX_RATE, RATED, Cup, Loudness, Manner, Mark, MarkKind
from reedwright.tune.meter import Meter
from reedwright.tune.place import Score, place
from reedwright.tune.read import read_tune
from reedwright.tune.techniques import ladder
from reedwright.tune.ticks import TICKS
from reedwright.tune.values import (
    Bar,
    Borrow,
    Cell,
    Chorus,
    Comment,
    Entry,
    Header,
    Hold,
    Lick,
    Part,
    Remark,
    Rest,
    Sound,
    TuneText,
    slug,
)
from reedwright.tune.write import write_tune
from tests.strategies_harp import keys, tab_notes

C_HARP = harp_named("C")

rates = st.one_of(
    st.just(Fraction(0)),
    st.integers(1, MAX_RATE * 1000).map(lambda thousandths: Fraction(thousandths, 1000)),
    st.builds(Fraction, st.integers(1, 99), st.integers(1, 99)).filter(lambda r: r <= MAX_RATE),
)
manners = st.builds(Manner, st.none() | st.sampled_from(Cup), st.none() | st.sampled_from(Loudness))


@st.composite
def mark_sets(draw: st.DrawFn) -> tuple[Mark, ...]:
    """Marks as they can stand on one note, mostly none or one."""
    kinds = draw(st.lists(st.sampled_from(MarkKind), max_size=3, unique=True))
    amounts = {
        MarkKind.DIP: st.integers(1, MAX_BEND).map(Fraction),
        MarkKind.FALL: st.integers(1, MAX_BEND).map(Fraction),
        MarkKind.RAKE: st.integers(1, MAX_HOLES).map(Fraction),
        **dict.fromkeys(RATED, rates),
    }
    order = list(MarkKind)
    return tuple(
        Mark(kind, draw(amounts[kind]) if kind in amounts else Fraction(0))
        for kind in sorted(kinds, key=order.index)
    )


@st.composite
def sounds_of(draw: st.DrawFn, notes: st.SearchStrategy[TabNote], most_notes: int = 4) -> Sound:
    """A note, chord, split or shake of these notes, with marks."""
    chosen = draw(
        st.lists(notes, min_size=1, max_size=most_notes, unique_by=lambda note: note.hole)
    )
    marks = draw(mark_sets())
    if len(chosen) == 2 and draw(st.booleans()):
        return Sound((chosen[0],), chosen[1], draw(rates), marks)
    return Sound(tuple(sorted(chosen, key=lambda note: note.hole)), marks=marks)


sounds = sounds_of(tab_notes)


def playable_sounds(harp: Harp = C_HARP) -> st.SearchStrategy[Sound]:
    """Sounds of notes this harp has (their breath may still differ)."""
    return sounds_of(st.sampled_from(harp.notes()))


# Words and lines as a file can hold them: printable, single spaces, no sign that means something.
_letters = st.characters(min_codepoint=33, max_codepoint=0x2FFF, categories=("L", "N", "P", "S"))
_words = st.text(_letters, min_size=1, max_size=12)
lines = st.lists(_words, min_size=1, max_size=6).map(" ".join)
remarks = st.one_of(st.builds(Remark, lines | st.just("")), st.builds(Comment, lines))
lick_names = st.from_regex(r"[A-Z][a-zé]{2,6}( [0-9])?", fullmatch=True).filter(
    lambda name: name.lower() not in ("rest", "lick", "chorus")
)
tempos = st.sets(st.integers(20, 400), min_size=1, max_size=12)
meters = st.sampled_from(
    [Meter(4, 4), Meter(3, 4), Meter(2, 4), Meter(6, 8), Meter(9, 8), Meter(12, 8)]
)


@st.composite
def bars(
    draw: st.DrawFn, number: int, beats: int, notes: st.SearchStrategy[Sound], sounding: bool
) -> Bar:
    """A written bar; holds only where there is a sound before them."""
    cells: list[Cell] = []
    for _ in range(beats):
        parts: list[Part] = []
        for _ in range(draw(st.sampled_from([1, 1, 1, 2, 2, 3, 4, 6, 12]))):
            kinds = [notes, st.just(Rest())] + [st.just(Hold())] * sounding
            parts.append(draw(st.one_of(*kinds)))
            sounding = not isinstance(parts[-1], Rest)
        cells.append(Cell(tuple(parts), draw(manners)))
    return Bar(number, tuple(cells))


@dataclass(frozen=True)
class _Shape:
    """What borrowing and placing must know of a lick."""

    name: str
    first: int
    last: int


@st.composite
def licks(
    draw: st.DrawFn, name: str, beats: int, earlier: list[_Shape], notes: st.SearchStrategy[Sound]
) -> Lick:
    """A lick of one to four bars, perhaps with a pickup, perhaps borrowing from earlier ones."""
    first = draw(st.integers(0, 1))
    last = draw(st.integers(1, 4))
    inside: list[Bar | Borrow | Remark | Comment] = draw(st.lists(remarks, max_size=1))
    number, after_own = first, False
    while number <= last:
        borrow = draw(borrows(number, last, earlier)) if earlier and number else None
        if borrow is not None:
            inside.append(borrow)
            number, after_own = borrow.last + 1, False
        else:
            bar = draw(bars(number, beats, notes, after_own))
            inside.append(bar)
            number += 1
            after_own = not isinstance(bar.cells[-1].parts[-1], Rest)
        inside += draw(st.lists(remarks, max_size=1))
    return Lick(name, draw(manners), tuple(inside))


@st.composite
def borrows(draw: st.DrawFn, number: int, last: int, earlier: list[_Shape]) -> Borrow | None:
    """Bars from `number` on as bars of an earlier lick; None when it is not to be or cannot be."""
    if draw(st.booleans()):
        return None
    shape = draw(st.sampled_from(earlier))
    other_first = draw(st.integers(shape.first, shape.last))
    other_last = draw(st.integers(other_first, shape.last))
    bars_given = other_last - other_first + 1
    times = draw(st.integers(1, 2))
    until = number + times * bars_given - 1
    if until > last:
        return None
    if (other_first, other_last) == (1, shape.last) and draw(st.booleans()):
        return Borrow(number, until, shape.name)
    return Borrow(number, until, shape.name, other_first, other_last)


@st.composite
def entries(draw: st.DrawFn, length: int, shapes: list[_Shape], beats: int) -> Entry:
    """A lick or a rest somewhere in a chorus, whole or cut, once or more."""
    bar = draw(st.integers(1, length))
    times = draw(st.sampled_from([1, 1, 1, 2, 3]))
    if draw(st.integers(0, 5)) == 0:
        return Entry(bar, "", times=times)
    shape = draw(st.sampled_from(shapes))
    from_bar = draw(st.none() | st.integers(shape.first, shape.last))
    first = shape.first if from_bar is None else from_bar
    to_bar = draw(st.none() | st.integers(first, shape.last))
    from_beat = None if from_bar is None else draw(st.none() | st.integers(1, beats))
    lowest = (from_beat or 1) if first == to_bar else 1
    to_beat = None if to_bar is None else draw(st.none() | st.integers(lowest, beats))
    return Entry(bar, shape.name, from_bar, from_beat, to_bar, to_beat, times)


@st.composite
def headers(draw: st.DrawFn, meter: Meter, form: str) -> tuple[Header | Remark | Comment, ...]:
    """A header that reads without a fault, its lines in any order."""
    given = {
        "Title": draw(lines),
        "Harp": draw(st.sampled_from(["", "low ", "high "])) + draw(keys),
        "Position": draw(st.sampled_from(["1", "2nd", "third", "cross"])),
        "Meter": str(meter),
        "Tempo": ", ".join(map(str, sorted(draw(tempos)))),
        "Feel": "straight" if meter.compound else draw(st.sampled_from(["shuffle", "swing 1.5:1"])),
        "Count-in": draw(st.sampled_from(["1", "2 bars"])),
        "Student": draw(st.sampled_from(ladder().levels)),
        "Can": ", ".join(draw(st.lists(st.sampled_from(list(ladder().techniques)), min_size=1))),
        "By": draw(lines),
    }
    kept = [
        key for key in given if key in ("Title", "Harp", "Position", "Meter") or draw(st.booleans())
    ]
    if form:
        given["Form"], kept = form, [*kept, "Form"]
    order = draw(st.permutations(kept))
    assert set(order) <= set(KEYS)
    head: list[Header | Remark | Comment] = []
    for key in order:
        head.append(Header(key, given[key]))
        head += draw(st.lists(remarks, max_size=1))
    return tuple(head)


@st.composite
def tunes_as_text(
    draw: st.DrawFn, notes: st.SearchStrategy[Sound] = sounds, most_licks: int = 4
) -> TuneText:
    """A tune that reads without a fault; its licks may overlap and leave gaps."""
    meter = draw(meters)
    form = draw(st.sampled_from(["", "A7 | % | D7 / | E7 D7", *form_names()]))
    length = {"": 12, "A7 | % | D7 / | E7 D7": 4}.get(form) or int(form.split("-")[0])
    names = draw(st.lists(lick_names, min_size=1, max_size=most_licks, unique_by=slug))
    blocks: list[Lick | Chorus] = []
    shapes: list[_Shape] = []
    for name in names:
        lick = draw(licks(name, meter.beats, shapes, notes))
        numbers = [
            (line.number, line.number) if isinstance(line, Bar) else (line.first, line.last)
            for line in lick.lines
            if isinstance(line, Bar | Borrow)
        ]
        blocks.append(lick)
        shapes.append(_Shape(name, numbers[0][0], numbers[-1][1]))
    for _ in range(draw(st.integers(0, 2))):
        chorus = draw(st.lists(entries(length, shapes, meter.beats), min_size=1, max_size=5))
        inside = [
            *draw(st.lists(remarks, max_size=1)),
            *chorus,
            *draw(st.lists(remarks, max_size=1)),
        ]
        blocks.append(Chorus(tuple(inside), draw(st.integers(1, 2))))
    return TuneText(draw(headers(meter, form)), tuple(blocks))


def tunes_as_written(notes: st.SearchStrategy[Sound] = sounds) -> st.SearchStrategy[str]:
    """The text of a tune that reads without a fault."""
    return tunes_as_text(notes).map(write_tune)


def placed_tunes(
    notes: st.SearchStrategy[Sound] = sounds, most_licks: int = 2
) -> st.SearchStrategy[Score]:
    """A tune that reads without a fault, placed; its licks may overlap and leave gaps."""
    written = tunes_as_text(notes, most_licks).map(write_tune)
    return written.map(lambda text: place(read_tune(text)))


sizes = st.builds(
    lambda notes, more, beats, longer: Size(notes, notes + more, beats, beats + longer),
    st.integers(1, 6),
    st.integers(0, 4),
    st.integers(1, 6),
    st.integers(0, 6),
)


@st.composite
def cut_lines(draw: st.DrawFn, most_notes: int = 12) -> CutLine:
    """A line of notes to cut into pieces, perhaps with places the teacher names."""
    notes = draw(st.integers(0, most_notes))
    lengths = draw(st.lists(st.integers(1, 8), min_size=notes, max_size=notes))
    rests = draw(st.lists(st.sampled_from([0, 0, 0, 1, 4]), min_size=notes, max_size=notes))
    starts, at = list[int](), 0
    for length, rest in zip(lengths, rests, strict=True):
        starts.append(at + rest * TICKS // 4)
        at = starts[-1] + length * TICKS // 4
    ends = [start + length * TICKS // 4 for start, length in zip(starts, lengths, strict=True)]
    inner = max(0, notes - 1)
    costs = draw(
        st.lists(st.integers(0, 12).map(lambda c: c * 500), min_size=inner, max_size=inner)
    )
    places = st.frozensets(st.integers(1, max(1, inner)), max_size=3)
    return (
        CutLine(starts, ends, costs, draw(places), draw(places))
        if inner
        else CutLine(starts, ends, costs)
    )


event_ids = st.builds(
    lambda lick, numbers: "{}:{}.{}.{}@{}.{}".format(lick, *numbers),
    lick_names.map(slug),
    st.tuples(*[st.integers(0, 99)] * 5),
)


@st.composite
def teacher_cuts(draw: st.DrawFn) -> Cuts:
    """What a teacher may say about cuts, in any order, with comments."""
    said = draw(st.dictionaries(event_ids, st.booleans(), max_size=6))
    notes = draw(st.lists(lines.map(Comment), max_size=3))
    cuts = [Cut(name, here) for name, here in said.items()]
    both: list[Cut | Comment] = [*cuts, *notes]
    return Cuts(tuple(draw(st.permutations(both))))
