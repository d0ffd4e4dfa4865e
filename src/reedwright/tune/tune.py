"""A tune: what its file means.

Conventions: tempos in counted beats per minute from slow to full; `key` is a pitch class; the
mode is minor when the form's home chord is; where no form tells, when the header says so; where
the header is silent too, when the harp's natural notes have the minor third and not the major.
Everything else follows from harp and position.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from reedwright.harp.harp import Harp
from reedwright.harp.pitch import fifths_of, harp_key
from reedwright.harp.position import position_key, scale_of
from reedwright.tune.form import Form
from reedwright.tune.licks import FullLick
from reedwright.tune.meter import Feel, Meter
from reedwright.tune.values import Remark, TuneText


@dataclass(frozen=True, slots=True)
class Tune:
    """A readable tune. `licks` by slug in the order written, borrowed bars filled in.

    `abilities` are ids of techniques the student has (all of them where no student is named);
    `lungs` are settings of the breath room as written, in words; `said_minor` is what the header
    says of the mode, None for nothing. `band` is the style of the backing, empty where the band
    chooses.
    """

    title: str
    harp: Harp
    position: int
    text: TuneText
    licks: dict[str, FullLick]
    meter: Meter = field(default_factory=Meter)
    feel: Feel = field(default_factory=Feel)
    tempos_bpm: tuple[Fraction, ...] = (Fraction(100),)
    form: Form = field(default_factory=Form)
    by: str = ""
    school: str = ""
    rights: str = ""
    student: str = ""
    abilities: frozenset[str] = frozenset()
    count_in_bars: int = 1
    signed: bool = False
    lungs: tuple[tuple[str, str], ...] = ()
    lines: dict[str, int] = field(default_factory=dict, compare=False)
    said_minor: bool | None = None
    band: str = ""

    @property
    def key(self) -> int:
        """Pitch class of the key the tune sounds in."""
        return position_key(self.harp, self.position)

    @property
    def minor(self) -> bool:
        if self.form.has_home(self.key):
            return self.form.is_minor(self.key)
        if self.said_minor is not None:
            return self.said_minor
        scale = scale_of(self.harp, self.position)
        return 3 in scale and 4 not in scale

    @property
    def key_name(self) -> str:
        """`E`, `D minor`."""
        return harp_key(self.key) + " minor" * self.minor

    @property
    def fifths(self) -> int:
        """Sharps (positive) or flats (negative) of the key signature."""
        return fifths_of(harp_key(self.key), self.minor)

    @property
    def remarks(self) -> tuple[str, ...]:
        """Remarks about the whole tune, written in its header."""
        return tuple(item.text for item in self.text.head if isinstance(item, Remark))

    @property
    def full_tempo_bpm(self) -> Fraction:
        return self.tempos_bpm[-1]
