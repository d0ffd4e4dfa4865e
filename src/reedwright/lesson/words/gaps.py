"""What the sentences of each kind can be filled with: the contract between wording and facts."""

from __future__ import annotations

from collections.abc import Mapping

_NOTE = frozenset({"note", "at"})
_BEGIN = frozenset({"where", "bar", "count", "next"})
_ALIKE = frozenset({"other", "notes"})
_PLAIN: frozenset[str] = frozenset()
_LOUD = ("very-soft", "soft", "medium", "loud", "very-loud")
_OF_NOTE = (
    *("half-bend", "deep-bend", "held-bend", "blow-bend", "over", "held", "single"),
    *("shake", "chord", "split"),
)

GAPS: Mapping[str, frozenset[str]] = {
    **{
        f"begin.{kind}": _BEGIN
        for kind in ("on-one", "later", "lead", "pickup", "pickup-bar", "pickup-at-once")
    },
    "tune.count-in-1": frozenset({"count", "bars", "times"}),
    "tune.count-in-more": frozenset({"count", "bars", "times"}),
    "tune.swung": _PLAIN,
    "first.first": frozenset({"notes", "bar", "Bar"}),
    **{
        f"next.{kind}": frozenset({"notes", "bar", "Bar"})
        for kind in ("same-bar", "new-bar", "far-bar")
    },
    **{
        f"alike.{kind}": _ALIKE
        for kind in ("identical", "nearly", "opening", "ending", "rhythm", "contour")
    },
    "alike.one-changed": _ALIKE | {"old", "new", "at"},
    "alike.one-timed": _ALIKE | {"old", "new", "at"},
    "alike.one-added": _ALIKE | {"new", "at"},
    "alike.one-dropped": _ALIKE | {"old"},
    "alike.one-bar": _ALIKE | {"bar", "Bar"},
    "alike.shifted": _ALIKE | {"moved"},
    **{f"role.{kind}": _NOTE | {"why"} for kind in ("landing", "longest", "last", "chord-tones")},
    "role.plain-last": _NOTE,
    "air.all-draw": _PLAIN,
    "air.all-blow": _PLAIN,
    "air.turns": frozenset({"times"}),
    "air.breathe-in": frozenset({"spots"}),
    "air.breathe-out": frozenset({"spots"}),
    **{f"hands.{kind}": _PLAIN for kind in ("closed", "open", "moving")},
    **{f"force.{kind}": _PLAIN for kind in _LOUD},
    "hands.change": frozenset({"before", "changes"}),
    "force.change": frozenset({"before", "changes"}),
    **{f"fault.{kind}": _NOTE for kind in _OF_NOTE},
    **{f"fault.{kind}": _PLAIN for kind in ("pickup", "two-bends", "offbeat", "repeated")},
    "fault.leap": frozenset({"first", "second"}),
}
"""Names a sentence may hold, by its kind. A wording has at least one sentence of every kind."""
