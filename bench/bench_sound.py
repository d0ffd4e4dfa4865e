"""Recordings: a cold pack, and what one edited note costs.

The gates are the user's: 12 files of 45 s as MP3 at least 40 times faster than they play on two
cores; after an edit of one note the stems at least 10 times and the pack at least 3 times faster
than cold, and at most 1 s from the edit to the sound of its bar. Every measurement is a process of
its own, so that nothing is left in memory from the one before; loading and compiling are not
counted. `python -m bench.bench_sound JOB FOLDER` runs one.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
import time
from fractions import Fraction
from pathlib import Path

from bench.row import Gate, Row
from reedwright.sound.cache import Store
from reedwright.sound.formats import Format
from reedwright.sound.prepare import prepare
from reedwright.sound.preview import Wish, bars_sound
from reedwright.sound.recordings import plan
from reedwright.sound.render import Setup, Studio, render
from reedwright.sound.sources import Sources
from reedwright.tune.place import place
from reedwright.tune.read import read_tune

DEMO = Path(__file__).resolve().parent.parent / "demo" / "cellar-and-attic.reed"
EDITS = {
    "edited": ("1: 8b 8b'&7b 8b 9b&10b", "1: 8b 8b'&7b 8b 9b&9b"),
    "edited2": ("1: 10b 10b'&10b'' 9b 8b", "1: 10b 10b'&10b'' 9b 9b"),
}
"""One note of a lick in the harp's bars of the trading, and one in the student's."""

EDITED_BAR = 13  # from 0: bar 6 of the second chorus

TEMPOS = (Fraction(98), Fraction(104))
"""At which a whole recording of the demo lasts about 45 s."""

KINDS = ("demo", "demo-amplified", "backing", "practice", "drone", "click")
"""Six whole recordings at two tempos, as a pack holds them: 12 files, eight of them stereo."""

ROUNDS = 3


def run() -> list[Row]:
    """Every row; the fastest of some rounds, since a shared machine only ever adds time."""
    cold = _best("twelve")
    rows = [
        Row(
            f"cold pack of 12 MP3 files, {cold['audio_s']:.0f} s of sound",
            cold["ms"],
            Gate.FASTER_AT_LEAST,
            40.0,
            1000 * cold["audio_s"],
            "playing them",
        )
    ]
    for job, what, limit in (("stems", "stems", 10.0), ("pack", "recordings of one tempo", 3.0)):
        before, after = _edit(job)
        name = f"{what} after an edit of one note (mean of two edits)"
        rows.append(Row(name, after, Gate.FASTER_AT_LEAST, limit, before, f"{what}, cold"))
    bar_ms = _best("bar")["ms"]
    rows.append(Row("from an edit to the sound of its bar", bar_ms, Gate.AT_MOST, 1000.0))
    return rows


def _best(job: str) -> dict[str, float]:
    found = []
    for _ in range(ROUNDS):
        with tempfile.TemporaryDirectory() as folder:
            found.append(_run(job, folder))
    return min(found, key=lambda one: one["ms"])


def _edit(job: str) -> tuple[float, float]:
    """Cold, and after an edit, in milliseconds; the fastest of each edit, then their mean."""
    found: dict[str, list[float]] = {}
    for _ in range(ROUNDS):
        with tempfile.TemporaryDirectory() as folder:
            for name in (job, *(f"{job}-{edit}" for edit in EDITS)):
                found.setdefault(name, []).append(_run(name, folder)["ms"])
    cold, *edits = (min(times) for times in found.values())
    return cold, sum(edits) / len(edits)


def _run(job: str, folder: str) -> dict[str, float]:
    command = [sys.executable, "-m", "bench.bench_sound", job, folder]
    done = subprocess.run(command, capture_output=True, check=True)
    measured: dict[str, float] = json.loads(done.stdout)
    return measured


def main(job: str, folder: str) -> None:
    """One job, timed; prints its milliseconds and the seconds of sound it made."""

    prepare()
    text, (kind, _, edit) = DEMO.read_text(encoding="utf-8"), job.partition("-")
    if edit or kind == "bar":
        note, edited = EDITS[edit or "edited"]
        if note not in text:
            raise SystemExit(f"{DEMO.name} no longer holds {note!r}")
        text = text.replace(note, edited)
    started_s = time.perf_counter()
    audio_s = _JOBS[kind](text, Store(Path(folder)))
    spent_ms = 1000 * (time.perf_counter() - started_s)
    print(json.dumps({"ms": spent_ms, "audio_s": audio_s}))


def _twelve(text: str, store: Store) -> float:
    return _rendered(text, store, TEMPOS, KINDS)


def _pack(text: str, store: Store) -> float:
    return _rendered(text, store, (), ())


def _rendered(
    text: str, store: Store, tempos: tuple[Fraction, ...], kinds: tuple[str, ...]
) -> float:

    score = place(read_tune(text))
    chosen = plan(score, tempos or (score.tune.full_tempo_bpm,))
    wanted = [one for one in chosen if not kinds or one.kind.value in kinds]
    files = render(score, wanted, (Format.MP3,), Setup(store))
    return sum(file.made["samples"] for file in files) / 48_000


def _stems(text: str, store: Store) -> float:
    sources = _sources(text, store)
    stems = (sources.acoustic(), sources.amplified(), sources.band(), sources.count_in())
    return sum(len(stem.sound(store)) for stem in stems) / 48_000


def _bar(text: str, store: Store) -> float:

    return len(bars_sound(_sources(text, store), Wish(EDITED_BAR), store)) / 48_000


def _sources(text: str, store: Store) -> Sources:

    score = place(read_tune(text))
    return Studio(score, Setup(store)).sources(score.tune.harp, score.tune.full_tempo_bpm)


_JOBS = {"twelve": _twelve, "pack": _pack, "stems": _stems, "bar": _bar}

if __name__ == "__main__":
    main(*sys.argv[1:])
