"""Delay, names, recordings and the marking of a pass, in node.

Oracles: delays and faults planted here; WAV files read by soundfile.
"""

from __future__ import annotations

import io
import json
import random
from fractions import Fraction
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import soundfile

from tests.page.ear_node import NODE, kept, node
from tests.page.ear_student import Fault, lesson_of, movable, played_by, sound_of, with_faults

pytestmark = pytest.mark.skipif(NODE is None, reason="node is not installed")

CLICKS = [0.6 * i for i in range(10)]
MARK = (
    "const l = given.lesson, T = l.tempos[0];"
    "const scope = { slug: 'all', piece: null, event_ids: l.events.map((e) => e.id), from_s: 0,"
    " to_s: T.length_s, tempo_bpm: T.tempo_bpm };"
    "const wanted = T.events.map((t) => { const e = l.events.find((one) => one.id === t.id);"
    " return { id: e.id, bar: e.bar, beat: e.beat, tab: e.tab, hertz: e.hertz, start_s: t.score_s,"
    " end_s: t.score_end_s, moving: e.marks.length > 0, zone_cents: e.zone_cents, words: '' }; });"
    "const take = { samples: sound(given.path), rate_hz: 48000, start_s: given.start_s,"
    " offset_s: 0, scope, wanted, lesson: l, clock: given.clock };"
    "return m.lookBack(take).pass;"
)
NAME = "lantern-street"


def marked(
    folder: Path, faults: dict[str, Fault], clock: str, start_s: float = 0.0
) -> dict[str, Any]:
    lesson = lesson_of(NAME)
    played = played_by(NAME, Fraction(lesson["tempos"][0]["tempo_exact"]))
    path = kept(folder, "pass", sound_of(with_faults(played, faults)))
    given = {"lesson": lesson, "path": path, "clock": clock, "start_s": start_s}
    found: dict[str, Any] = node("lookback.js", MARK, given)
    return found


def planted() -> dict[str, Fault]:
    """One fault of each kind, on notes far from each other."""
    ids = movable(played_by(NAME, Fraction(lesson_of(NAME)["tempos"][0]["tempo_exact"])))
    kinds = [Fault(cents=-45), Fault(late_s=0.12), Fault(left_out=True), Fault(cents=45)]
    return dict(zip(ids[1::6], kinds, strict=False))


def words_of(fault: Fault) -> tuple[str, str]:
    if fault.left_out:
        return "absent", "absent"
    pitch = "low" if fault.cents < 0 else "high" if fault.cents > 0 else "right"
    return pitch, "behind" if fault.late_s > 0 else "right"


@pytest.mark.parametrize(("clock", "start_s"), [("measured", 0.0), ("own pulse", 0.21)])
def test_planted_faults_are_named_and_right_notes_are_not(
    tmp_path: Path, clock: str, start_s: float
) -> None:
    faults = planted()
    assert len(faults) == 4
    found = marked(tmp_path, faults, clock, start_s)
    for verdict in found["verdicts"]:
        fault = faults.get(verdict["wanted"]["id"], Fault())
        pitch, time = words_of(fault)
        said = (verdict["pitch"], verdict["time"])
        assert said in {(pitch, time), ("undecided", time)}, verdict["wanted"]["id"]
        if fault != Fault():
            assert verdict["pitch"] != "undecided"
    assert found["removed_ms"] == pytest.approx(1000 * start_s, abs=20)


def test_a_flat_note_is_low_by_as_much_as_was_planted(tmp_path: Path) -> None:
    faults = {key: fault for key, fault in planted().items() if fault.cents}
    found = marked(tmp_path, faults, "measured")
    cents = {one["wanted"]["id"]: one["cents"] for one in found["verdicts"]}
    for key, fault in faults.items():
        assert cents[key] == pytest.approx(fault.cents, abs=5)


def test_silence_is_absent_everywhere_and_never_clean(tmp_path: Path) -> None:
    lesson = lesson_of(NAME)
    path = kept(tmp_path, "none", np.zeros(48_000))
    given = {"lesson": lesson, "path": path, "clock": "measured", "start_s": 0.0}
    found = node("lookback.js", MARK, given)
    assert {one["pitch"] for one in found["verdicts"]} == {"absent"}
    assert not found["clean"]


def claps(delay_s: float, spread_s: float, seed: int = 3) -> np.ndarray:
    """Short bursts after each click, and a quiet room."""
    chance, noise = random.Random(seed), np.random.default_rng(seed)
    sound = noise.normal(0, 0.0005, 48_000 * 8)
    for click_s in CLICKS:
        at = round((1 + click_s + delay_s + chance.uniform(-spread_s, spread_s)) * 48_000)
        sound[at : at + 2_400] += noise.normal(0, 0.2, 2_400) * np.exp(-np.arange(2_400) / 400)
    return sound


DELAY = "return m.delayOf(given.clicks, m.clapsIn(sound(given.path), 48000).map((at) => at - 1));"


@pytest.mark.parametrize("delay_s", [-0.02, 0.012, 0.14, 0.41])
def test_the_delay_that_was_planted_is_measured(tmp_path: Path, delay_s: float) -> None:
    path = kept(tmp_path, "claps", claps(delay_s, 0.008))
    found = node("calibrate.js", DELAY, {"clicks": CLICKS, "path": path})
    assert found["ok"]
    assert found["offset_s"] == pytest.approx(delay_s, abs=0.006)


def test_no_delay_from_silence_or_from_claps_all_over(tmp_path: Path) -> None:
    quiet = kept(tmp_path, "quiet", np.zeros(48_000 * 8))
    wild = kept(tmp_path, "wild", claps(0.1, 0.07))
    found = [
        node("calibrate.js", DELAY, {"clicks": CLICKS, "path": path}) for path in (quiet, wild)
    ]
    assert [one["ok"] for one in found] == [False, False]
    assert found[0]["why"].startswith("Only 0 claps were heard")


def test_the_hole_the_tab_asks_for_comes_first() -> None:
    notes = lesson_of(NAME)["notes"]
    by_tab = {note["tab"]: note for note in notes}
    given = {"notes": notes, "hertz": by_tab["3b"]["hertz"] * 2 ** (-12 / 1200)}
    body = "return [['2d'], ['3b'], []].map((asked) => m.nameOf(given.hertz, given.notes, asked));"
    two, three, free = node("name.js", body, given)
    assert (two["tab"], three["tab"]) == ("2d", "3b")
    assert free["tab"] in {"2d", "3b"}
    assert two["cents"] == pytest.approx(-12, abs=0.1)


def test_a_saved_recording_opens_elsewhere_and_says_what_it_is() -> None:
    body = (
        "const bytes = m.wavOf(Float32Array.from(given), 48000,"
        " { title: 'Größe </script>', comment: { tempo_bpm: 72, start_s: -0.5 } });"
        "return [[...bytes], m.fileName('Größe </script>', 72), m.fileName('夜', 72)];"
    )
    raw, name, bare = node("wav.js", body, [0.0, 0.5, -0.5, 2.0])
    with soundfile.SoundFile(io.BytesIO(bytes(raw))) as file:
        assert json.loads(file.comment) == {"tempo_bpm": 72, "start_s": -0.5}
        assert file.title == "Größe </script>"
        assert file.read() == pytest.approx([0.0, 0.5, -0.5, 1.0], abs=1e-4)
    assert (name, bare) == ("gro-e-script-72-bpm.wav", "recording-72-bpm.wav")
