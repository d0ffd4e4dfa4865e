"""A teacher's whole day in the browser: from a blank page to an opened pack, by mouse and by keys.

The day is the issue's: write, mend, hear, vary, look back, teach, pack, and see the student's page.
"""

from __future__ import annotations

import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.desk.web_desk import browser, caret_before, desk, kept, needed, text_of, watched

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.slow

LICKS = """
Lick Hello (cup closed, medium)
1: 2d 3d' 4d =
2: 4b&3d 2d . .

Chorus
1 Hello
3 Hello
"""


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    needed()
    with browser() as made:
        yield made


@pytest.fixture
def page(chromium: Browser, tmp_path: Path) -> Iterator[Page]:
    """A first visit over an empty folder."""
    folder = tmp_path / "shelf"
    folder.mkdir()
    with desk(folder, tmp_path / "cache") as address:
        context = chromium.new_context(
            viewport={"width": 1280, "height": 860}, accept_downloads=True
        )
        opened = context.new_page()
        troubles: list[str] = []
        watched(opened, troubles)
        opened.goto(address)
        yield opened
        context.close()
        assert troubles == []


def _heard(page: Page) -> None:
    page.wait_for_function("() => document.getElementById('play').textContent === 'Stop'")
    page.wait_for_function(
        "() => document.getElementById('hear-state').textContent.startsWith('Playing')",
        timeout=60_000,
    )
    page.wait_for_selector(".map .bar.sounding")


def _packed(page: Page, tmp_path: Path) -> None:
    """The zip opens and holds the tune and its sheet."""
    page.wait_for_selector("#zip", timeout=240_000)
    with page.expect_download() as download:
        page.click("#zip")
    path = tmp_path / "pack.zip"
    download.value.save_as(path)
    with zipfile.ZipFile(path) as packed:
        assert packed.testzip() is None
        names = {name.rsplit("/", 1)[-1] for name in packed.namelist()}
    assert {"tune.reed", "sheet.pdf", "pack.json"} <= names


def test_a_day_by_mouse(page: Page, tmp_path: Path) -> None:
    page.get_by_role("heading", name="Nothing here yet").wait_for()
    page.fill("#new-title", "Morning Lesson")
    page.get_by_role("button", name="Begin", exact=True).click()
    page.wait_for_selector("#text")
    kept(page)
    head = text_of(page)
    assert head.startswith("Title: Morning Lesson\n")
    page.fill("#text", head[: head.index("\nLick ")] + LICKS)
    page.wait_for_selector(".map .bar >> nth=3")
    page.locator("#staff .page svg").first.wait_for()
    caret_before(page, "4d =", 2)
    page.keyboard.type("''")
    finding = page.locator("#findings li button").first
    finding.wait_for()
    assert "Mend" in finding.inner_text()
    page.wait_for_selector(".layer .f-error")
    page.click("#undo")
    page.get_by_text("Nothing to mend").wait_for()
    page.click("#play")
    _heard(page)
    page.click("#play")
    caret_before(page, "1: 2d", 3)
    page.click("#vary")
    page.get_by_role("button", name="Take this one").first.click()
    page.wait_for_function("() => !document.getElementById('text').value.includes('2: 4b&3d 2d')")
    page.click("#undo")
    assert "2: 4b&3d 2d" in text_of(page)
    page.click("#earlier")
    page.locator(".past-list button").last.click()
    page.get_by_role("button", name="Bring this back").click()
    page.click("#undo")
    kept(page)
    assert "Lick Hello" in text_of(page)
    page.locator("#teach").scroll_into_view_if_needed()
    page.locator(".lesson-lick", has_text="Hello").wait_for()
    page.click("#make-pack")
    _packed(page, tmp_path)
    opener = page.locator("#open-page")
    if opener.count():
        with page.expect_popup() as opened:
            opener.click()
        opened.value.wait_for_load_state()
        assert "Morning Lesson" in opened.value.title() + opened.value.inner_text("body")


def test_a_day_by_keys_alone(page: Page, tmp_path: Path) -> None:
    page.get_by_role("heading", name="Nothing here yet").wait_for()
    press = page.keyboard.press
    _tab_to(page, "new-title")
    page.keyboard.type("Evening Lesson")
    press("Enter")
    page.wait_for_selector("#text")
    kept(page)
    page.wait_for_function("() => document.activeElement.id === 'text'")
    press("Control+End")
    press("Control+Enter")
    page.wait_for_selector("#entry-told")
    for key in ["Digit2", "Digit3", "'", "ArrowDown", "Digit4", "Shift+Digit4", "ArrowUp", "="]:
        press(key)
    press("Escape")
    page.wait_for_function("() => document.activeElement.id === 'text'")
    text = text_of(page)
    assert "2d 3d' 4d&4b =" in text, text
    press("Alt+p")
    _heard(page)
    press("Alt+p")
    press("Control+z")
    assert "4d&4b =" not in text_of(page)
    press("Control+Shift+z")
    assert "4d&4b =" in text_of(page)
    kept(page)
    press("Alt+m")
    press("ArrowRight")
    press("Enter")
    press("F8")
    press("Alt+l")
    page.wait_for_selector(".lesson-lick")
    press("Alt+k")
    _tab_to(page, "make-pack")
    press("Enter")
    page.wait_for_selector("#zip", timeout=240_000)
    page.wait_for_function("() => document.activeElement.id === 'zip'")
    with page.expect_download() as download:
        press("Enter")
    assert zipfile.is_zipfile(download.value.path())


def _tab_to(page: Page, name: str) -> None:
    """Walks with Tab until the thing with an id has the focus."""
    for _ in range(60):
        if page.evaluate("document.activeElement.id") == name:
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"Tab does not come to {name}")
