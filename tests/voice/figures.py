"""The page docs/voice-figures.md: what the grid measured, in tables.

Conventions: see `grid`. `python -m tests.voice.grid C A` judges two keys only and prints, without
writing the page.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

import numpy as np

from reedwright.harp.pitch import KEYS
from reedwright.voice.values import RECIPE
from tests.voice.grid import MANNERS, SWIFT_TO_HZ, Judged, every, seams, swift_hz, yin_hz
from tests.voice.measures import SAMPLE_HZ, cents, pitch_hz

PAGE = Path(__file__).resolve().parents[2] / "docs" / "voice-figures.md"
GROUPS = (
    "natural notes, holes 1-6",
    "natural notes, 7-10",
    "draw bends, holes 1-6",
    "blow bends, 8-10",
    "overbends",
)
TONES_HZ = (110.0, 196.0, 440.0, 880.0, 1_500.0, 2_000.0)
HEAD = """\
Written by `python -m tests.voice.grid`; how each is measured stands there and in
`tests/voice/measures.py`. Voice recipe {recipe}. {notes} notes of 1.2 s: every natural note, bend
and overbend of ten-hole harps in twelve keys, soft, medium and loud, judged from 150 ms on.
"""
PITCH_NOTE = """\
Pitch: median and 90th percentile of the error in cents. Attack: from the first sample to 80 % of
the steady level, median (least to most). Step: the greatest click at either end,
in dBFS of a step that would sound as much (-180: none found).
"""
SEAM_KEYS = ("G", "C", "F#")


def write(keys: list[str]) -> None:
    """Judge, print, and write the page when no key was named."""
    notes = list(every(tuple(keys) or KEYS))
    page = _page(notes, tuple(keys) or SEAM_KEYS)
    print(page)
    if not keys:
        PAGE.write_text(page, encoding="utf-8")


def _page(notes: list[Judged], seam_keys: tuple[str, ...]) -> str:
    pitch_head = ("", "notes", "autocorrelation", "yin", "swift-f0", "attack, ms", "step")
    parts = [
        "# The voice, measured\n",
        HEAD.format(recipe=RECIPE, notes=len(notes)),
        "## Who plays: the chamber model or the wavetable\n",
        _starts(notes),
        "## Pitch, attack, edges\n",
        _table(pitch_head, [_row(name, group) for name, group in _groups(notes)]),
        PITCH_NOTE,
        "## Level\n",
        _levels(notes),
        "## The seam\n",
        _seam(seam_keys),
        "## What the trackers get wrong by themselves\n",
        _trackers(),
    ]
    return "\n".join(parts)


def _groups(notes: list[Judged]) -> Iterable[tuple[str, list[Judged]]]:
    for name in GROUPS:
        yield name, [note for note in notes if note.group == name]
    yield "all", notes


def _starts(notes: list[Judged]) -> str:
    rows = []
    for name, group in _groups(notes):
        shares = [
            f"{100 * np.mean([note.started for note in group if note.manner == manner]):.1f} %"
            for manner in MANNERS
        ]
        failed = sorted({f"{n.key} {n.note}" for n in group if n.meant and not n.started})
        rows.append((name, *shares, ", ".join(failed[:12]) or "none"))
    return _table(("started by the model", *MANNERS, "tried, but failed"), rows)


def _row(name: str, group: list[Judged]) -> tuple[str, ...]:
    swift = [abs(note.swift_cents) for note in group if not np.isnan(note.swift_cents)]
    attacks = [note.attack_ms for note in group]
    return (
        name,
        str(len(group)),
        _spread([abs(note.off_cents) for note in group]),
        _spread([abs(note.yin_cents) for note in group]),
        f"{_spread(swift)} ({len(swift)} notes)",
        f"{np.median(attacks):.0f} ({min(attacks):.0f} to {max(attacks):.0f})",
        f"{max(note.edge_dbfs for note in group):.0f}",
    )


def _spread(values: list[float]) -> str:
    if not values:
        return "out of range"
    return f"{np.median(values):.2f}, {np.percentile(values, 90):.2f}"


def _levels(notes: list[Judged]) -> str:
    rows = []
    for manner in MANNERS:
        levels = [note.level_dbfs for note in notes if note.manner == manner]
        shown = (np.median(levels), min(levels), max(levels))
        bright = np.median([n.centroid_hz / n.hertz for n in notes if n.manner == manner])
        rows.append((manner, *(f"{level:.1f}" for level in shown), f"{bright:.2f}"))
    head = ("", "median dBFS RMS", "least", "most", "centroid over pitch")
    return _table(head, rows)


def _seam(keys: tuple[str, ...]) -> str:
    pairs = np.array(list(seams(keys)))
    ratios, differences = np.abs(np.log2(pairs[:, 0])), np.abs(pairs[:, 1])
    worst = 100 * (2 ** ratios.max() - 1)
    usual = 100 * (2 ** np.median(ratios) - 1)
    return (
        f"The same {len(pairs)} notes of the harps in {', '.join(keys)} by model and by wavetable:"
        f" centroid apart by {usual:.1f} % (median), {worst:.1f} % (most); level by"
        f" {np.median(differences):.2f} dB, {differences.max():.2f} dB.\n"
    )


def _trackers() -> str:
    rows = []
    for hertz in TONES_HZ:
        time_s = np.arange(SAMPLE_HZ) / SAMPLE_HZ
        tone = np.sin(2 * np.pi * hertz * time_s)
        found = (pitch_hz(tone, hertz), yin_hz(tone, hertz), swift_hz(tone))
        rows.append((f"{hertz:g}", *(f"{cents(one, hertz):.2f}" for one in found)))
    table = _table(("pure tone, Hz", "autocorrelation", "yin", "swift-f0, cents"), rows)
    return table + f"\nswift-f0 is asked up to {SWIFT_TO_HZ:g} Hz.\n"


def _table(head: tuple[str, ...], rows: Sequence[tuple[str, ...]]) -> str:
    lines = [head, tuple("---" for _ in head), *rows]
    return "".join(f"| {' | '.join(line)} |\n" for line in lines)
