"""Hypothesis strategies for keys, tunings, temperaments, harps and their notes.

Every room's tests may draw from these; they make only values the constructors accept.
"""

from hypothesis import strategies as st

from reedwright.harp.harp import Harp, Variant
from reedwright.harp.note import MAX_BEND, MAX_HOLES, Breath, TabNote
from reedwright.harp.pitch import KEYS
from reedwright.harp.temperament import Temperament, temperament_named, temperament_names
from reedwright.harp.tuning import Tuning, Valves, tuning_named, tuning_names

keys = st.sampled_from(KEYS)
positions = st.integers(1, 12)
breaths = st.sampled_from(Breath)

tab_notes = st.builds(
    lambda hole, breath, depth, button: TabNote(
        hole, breath, max(depth, 0), over=depth < 0, button=button
    ),
    st.integers(1, MAX_HOLES),
    breaths,
    st.integers(-1, MAX_BEND),  # -1: an overbend
    st.booleans(),
)
"""Any tab note, whether or not some harp has it."""

names = st.text(
    st.characters(min_codepoint=32, max_codepoint=0x2FFF), min_size=1, max_size=20
).filter(lambda text: text.isprintable() and text.strip() == text)


@st.composite
def own_tunings(draw: st.DrawFn) -> Tuning:
    """A tuning of one's own: 4 to 16 holes, any reeds, equal ones in a hole too."""
    holes = draw(st.integers(4, 16))
    row = st.lists(st.integers(-12, 45), min_size=holes, max_size=holes).map(tuple)
    return Tuning(
        name=draw(names),
        blow=draw(row),
        draw=draw(row),
        label_position=draw(positions),
        valves=draw(st.sampled_from(Valves)),
        button=draw(st.booleans()),
    )


@st.composite
def named_tunings(draw: st.DrawFn, key: str = "C") -> Tuning:
    """A built-in tuning, half-valved where it can be."""
    tuning = tuning_named(draw(st.sampled_from(tuning_names())), key)
    if tuning.valves is Valves.NONE and draw(st.booleans()):
        return tuning_named(f"half-valved {tuning.name}", key)
    return tuning


temperaments = st.one_of(
    st.sampled_from(temperament_names()).map(temperament_named),
    st.lists(st.floats(-100, 100), min_size=12, max_size=12).map(
        lambda cents: Temperament("own", tuple(cents))
    ),
)


@st.composite
def named_harps(draw: st.DrawFn) -> Harp:
    """A harp out of the box: built-in tuning, equal temperament, A4 = 440 Hz."""
    key = draw(keys)
    return Harp(key, draw(named_tunings(key)), draw(st.sampled_from(Variant)))


own_harps = st.builds(
    Harp,
    keys,
    own_tunings(),
    st.sampled_from([Variant.LOW, Variant.STANDARD]),  # high, they could leave MIDI's range
    temperaments,
    st.floats(400, 480),
)
harps = st.one_of(named_harps(), own_harps)


@st.composite
def harp_and_note(draw: st.DrawFn) -> tuple[Harp, TabNote]:
    """A harp and one of its notes."""
    harp = draw(harps)
    return harp, draw(st.sampled_from(harp.notes()))
