"""The ear in Chromium: a student made by our own voice as the microphone, read off the screen.

The faults are planted here; only what a person can see is looked at.
"""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import numpy as np
import soundfile

from tests.page.ear_browser import needed, page_of
from tests.page.ear_student import Fault, lesson_of, movable, played_by, sound_of, with_faults

NAME = "lantern-street"
WAIT_MS = 60_000
DRAWN_MS = 40.0  # the page's promise, from worklet buffer to drawn pitch


def test_a_flat_note_and_a_late_one_are_named_on_the_screen(tmp_path: Path) -> None:
    needed()
    lesson = lesson_of(NAME)
    played = played_by(NAME, Fraction(lesson["tempos"][0]["tempo_exact"]))
    early = {one["id"] for one in lesson["events"] if one["chorus"] == 1 and one["bar"] <= 4}
    ids = [key for key in movable(played) if key in early]
    flat, late = ids[1], ids[3]
    student = with_faults(played, {flat: Fault(cents=-45), late: Fault(late_s=0.12)})
    wav = tmp_path / "student.wav"
    soundfile.write(wav, np.clip(2 * sound_of(student), -1, 1), 48_000, subtype="PCM_16")
    with page_of(lesson, 0, wav) as page:
        page.get_by_role("button", name="Hear yourself").click()
        page.get_by_text("The microphone is open.").wait_for(timeout=WAIT_MS)
        page.get_by_role("button", name="Play and look back").click()
        page.wait_for_selector(".ear-results", timeout=WAIT_MS)
        rows = {
            row.get_attribute("data-id"): row.locator("td").all_inner_texts()
            for row in page.locator(".ear-results tbody tr").all()
        }
        assert "low by 4" in rows[flat][1]
        assert "behind by 1" in rows[late][2]
        others = [cells for key, cells in rows.items() if key not in (flat, late)]
        assert len(others) >= 10
        for cells in others:
            assert cells[1].endswith("right") or "undecided" in cells[1]
            assert cells[2].endswith("right")
        assert "only against your own pulse" in page.locator(".ear-summary").inner_text()
        with page.expect_download() as saved:
            page.get_by_role("button", name="Save this recording").click()
        assert saved.value.suggested_filename == "lantern-street-72-bpm.wav"
        assert page.evaluate("window.passes.length") == 1
        drawn = page.evaluate("window.ear.drawn_ms()")
        assert len(drawn) > 100
        assert np.median(drawn) <= DRAWN_MS


def test_without_a_microphone_the_page_says_so() -> None:
    needed()
    with page_of(lesson_of(NAME), 0, None) as page:
        page.get_by_role("button", name="Hear yourself").click()
        page.get_by_text("microphone was").or_(page.get_by_text("No microphone")).wait_for(
            timeout=WAIT_MS
        )
        assert page.get_by_role("button", name="Play and look back").is_disabled()
