"""The desk's screens by themselves: editor, keeping, two windows, access, sizes, policy."""

from __future__ import annotations

import shutil
import socket
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import pytest

from tests.desk.web_desk import (
    AXE,
    DEMO,
    browser,
    caret_before,
    desk,
    kept,
    needed,
    text_of,
    watched,
)

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    needed()
    with browser() as made:
        yield made


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    shelf = tmp_path / "shelf"
    shelf.mkdir()
    for tune in DEMO.glob("*.reed"):
        shutil.copy(tune, shelf)
    return shelf


class Visit:
    """A browser that was let in by the desk, and what went wrong on its pages."""

    def __init__(self, context: BrowserContext, address: str) -> None:
        self.context = context
        self.base = address.split("/?", maxsplit=1)[0]
        self.troubles: list[str] = []
        first = context.new_page()
        first.goto(address)
        first.wait_for_selector(".tunes a")
        first.close()

    def open(self, path: str) -> Page:
        page = self.context.new_page()
        watched(page, self.troubles)
        page.goto(self.base + path)
        return page


@pytest.fixture
def visit(chromium: Browser, folder: Path, tmp_path: Path) -> Iterator[Visit]:
    with desk(folder, tmp_path / "cache") as address:
        made = chromium.new_context(viewport={"width": 1280, "height": 860})
        visit = Visit(made, address)
        yield visit
        made.close()
        assert visit.troubles == []


@pytest.fixture
def page(visit: Visit) -> Page:
    opened = visit.open("/tune/lantern-street")
    kept(opened)
    opened.wait_for_selector(".map .bar")
    return opened


def test_the_caret_stands_where_the_letters_are_drawn(page: Page) -> None:
    """Both layers have the same measures: the textarea is as tall as the drawing, at any width."""
    for width in (360, 800, 1280):
        page.set_viewport_size({"width": width, "height": 800})
        heights = page.evaluate(
            "[document.getElementById('text').scrollHeight,"
            " document.querySelector('.layer').scrollHeight]"
        )
        assert heights[0] == heights[1]


def test_the_drawn_letters_are_those_of_the_text(page: Page) -> None:
    caret_before(page, "Lick Window")
    page.keyboard.type("# été 🎵 '\n")
    kept(page)
    drawn = page.eval_on_selector(".layer", "(layer) => layer.textContent")
    assert drawn.removesuffix("\n").replace("\u200b", "") == text_of(page)


def test_a_finding_stands_under_the_very_token_and_jumps(page: Page) -> None:
    caret_before(page, "5d =&4d", 2)
    page.keyboard.type("'")
    mark = page.locator(".layer .f-error").first
    mark.wait_for()
    assert mark.inner_text() == "5d'"
    caret_before(page, "Title")
    page.locator("#findings li button").first.click()
    chosen = page.eval_on_selector(
        "#text", "(area) => area.value.slice(area.selectionStart, area.selectionEnd)"
    )
    assert chosen == "5d'"
    page.keyboard.press("Control+z")
    page.get_by_text("Nothing to mend").wait_for()


def test_undo_goes_over_typing_keys_and_buttons_in_order(page: Page) -> None:
    before = text_of(page)
    caret_before(page, "\n\nLick Window")
    page.keyboard.press("Control+Enter")
    page.keyboard.press("Digit6")
    caret_before(page, "School")
    page.keyboard.type("# mine\n")
    after = text_of(page)
    assert "3: 6d . . ." in after
    assert "# mine" in after
    for _ in range(12):
        if text_of(page) == before:
            break
        page.click("#undo")
    assert text_of(page) == before
    for _ in range(12):
        page.click("#redo") if page.is_enabled("#redo") else None
    assert text_of(page) == after


def test_a_composition_is_drawn_and_kept_only_when_it_ends(page: Page) -> None:
    """An input method's letters, by the browser's own protocol (Chrome DevTools, Input domain)."""
    caret_before(page, "Title: ", 7)
    session = page.context.new_cdp_session(page)
    session.send("Input.imeSetComposition", {"text": "か", "selectionStart": 1, "selectionEnd": 1})
    assert "Title: か" in page.eval_on_selector(".layer", "(layer) => layer.textContent")
    session.send("Input.insertText", {"text": "角"})
    kept(page)
    assert text_of(page).startswith("Title: 角Lantern Street")
    page.keyboard.press("Control+z")
    assert text_of(page).startswith("Title: Lantern Street")


def test_completion_is_taken_by_keys(page: Page) -> None:
    caret_before(page, "12-bar minor flat six", len("12-bar minor flat six"))
    for _ in range(len(" flat six")):
        page.keyboard.press("Backspace")
    page.keyboard.press("Control+Space")
    page.wait_for_selector("#offers li")
    while page.locator("#offers li[aria-selected=true]").inner_text() != "12-bar minor":
        page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    assert "Form: 12-bar minor\n" in text_of(page)
    assert page.is_hidden("#offers")


def test_what_is_typed_is_in_the_file(page: Page, folder: Path) -> None:
    caret_before(page, "School")
    page.keyboard.type("# a word of mine\n", delay=5)
    kept(page)
    page.wait_for_timeout(1500)
    assert "# a word of mine\n" in (folder / "lantern-street.reed").read_text(encoding="utf-8")


def test_two_windows_on_one_tune_see_each_other(page: Page, visit: Visit) -> None:
    other = visit.open("/tune/lantern-street")
    kept(other)
    caret_before(other, "Chorus")
    other.keyboard.type("# from the other\n")
    kept(other)
    page.wait_for_function(
        "() => document.getElementById('text').value.includes('# from the other')", timeout=10_000
    )
    caret_before(page, "School")
    page.keyboard.type("# from the first\n")
    kept(page)
    other.wait_for_function(
        "() => document.getElementById('text').value.includes('# from the first')", timeout=10_000
    )
    assert text_of(page) == text_of(other)


def test_a_text_editor_beside_it_is_noticed(page: Page, folder: Path) -> None:
    file = folder / "lantern-street.reed"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace("Lick Rain", "# by hand\nLick Rain"), encoding="utf-8")
    page.wait_for_function(
        "() => document.getElementById('text').value.includes('# by hand')", timeout=15_000
    )


def _axe(page: Page, visit: Visit) -> list[tuple[str, list[str]]]:
    """What the independent checker axe-core (Deque, MPL-2.0) calls serious or critical."""
    if not AXE.exists():
        pytest.skip("axe-core is not installed in tools/web")
    page.evaluate(AXE.read_text(encoding="utf-8"))
    found = page.evaluate("axe.run()")["violations"]
    visit.troubles.clear()  # the checker's own styles, which the page's policy refuses
    bad = [each for each in found if each["impact"] in ("serious", "critical")]
    return [(each["id"], [node["html"][:120] for node in each["nodes"][:3]]) for each in bad]


@pytest.mark.parametrize("path", ["/", "/tune/the-ferry-was-late", "/fit"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_serious(
    visit: Visit, path: str, scheme: Literal["light", "dark"]
) -> None:
    page = visit.open(path)
    page.emulate_media(color_scheme=scheme)
    if path.startswith("/tune"):
        page.locator("#staff .page svg").first.wait_for()
    page.wait_for_timeout(500)
    assert _axe(page, visit) == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_serious_in_what_opens(
    page: Page, visit: Visit, scheme: Literal["light", "dark"]
) -> None:
    page.emulate_media(color_scheme=scheme)
    page.click("#entry")
    page.click("#tones")
    caret_before(page, "5d =&4d", 2)
    page.keyboard.type("'")
    page.locator(".layer .f-error").first.wait_for()
    assert _axe(page, visit) == []
    page.keyboard.press("Control+z")
    page.keyboard.press("F1")
    assert _axe(page, visit) == []
    page.keyboard.press("Escape")
    page.click("#earlier")
    page.locator(".past-list button").first.click()
    page.get_by_role("button", name="Bring this back").wait_for()
    assert _axe(page, visit) == []
    page.keyboard.press("Escape")
    page.goto(f"{visit.base}/tune/lantern-street#tour")
    page.wait_for_selector(".tour")
    assert _axe(page, visit) == []


@pytest.mark.parametrize("width", [360, 390, 1280, 2560])
@pytest.mark.parametrize("path", ["/", "/tune/the-ferry-was-late", "/fit"])
def test_no_page_is_wider_than_its_window(visit: Visit, path: str, width: int) -> None:
    page = visit.open(path)
    page.set_viewport_size({"width": width, "height": 800})
    page.wait_for_timeout(800)
    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_words_of_a_user_are_never_markup(visit: Visit, folder: Path) -> None:
    evil = "<img src=x onerror=alert(1)>"
    head = f'Title: {evil}"\nHarp: C\nPosition: second\n> {evil}\n'
    tune = f"{head}\nLick A b\n1: 2d . . .\n> {evil}\n"
    (folder / "evil.reed").write_text(tune, encoding="utf-8")
    page = visit.open("/tune/evil")
    page.on("dialog", lambda dialog: pytest.fail(dialog.message))
    kept(page)
    page.wait_for_selector(".map .bar")
    page.locator("#teach").scroll_into_view_if_needed()
    page.wait_for_selector(".lesson-lick")
    assert page.locator("img[src=x]").count() == 0
    assert page.inner_text("#title") == f'{evil}"'


def test_the_page_asks_nothing_of_another_address(visit: Visit) -> None:
    page = visit.context.new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(visit.base + "/tune/the-ferry-was-late")
    page.locator("#staff .page svg").first.wait_for()
    assert asked
    assert all(url.startswith((visit.base, "data:", "blob:")) for url in asked), asked


def test_words_typed_while_the_server_is_away_are_kept_when_it_is_back(
    chromium: Browser, folder: Path, tmp_path: Path
) -> None:
    port = _free_port()
    context = chromium.new_context()
    page = context.new_page()
    with desk(folder, tmp_path / "cache", port) as address:
        page.goto(address)
        page.goto(address.split("/?", maxsplit=1)[0] + "/tune/lantern-street")
        kept(page)
    caret_before(page, "School")
    page.keyboard.type("# while it was away\n")
    page.wait_for_function("() => document.getElementById('kept').className.includes('late')")
    with desk(folder, tmp_path / "cache", port) as address:
        context.new_page().goto(address)
        kept(page)
    assert "# while it was away\n" in (folder / "lantern-street.reed").read_text(encoding="utf-8")
    context.close()


def test_a_window_closed_while_the_server_was_away_leaves_its_words_to_the_next(
    chromium: Browser, folder: Path, tmp_path: Path
) -> None:
    port = _free_port()
    context = chromium.new_context()
    page = context.new_page()
    with desk(folder, tmp_path / "cache", port) as address:
        page.goto(address)
        page.goto(address.split("/?", maxsplit=1)[0] + "/tune/lantern-street")
        kept(page)
    caret_before(page, "School")
    page.keyboard.type("# left behind\n")
    page.wait_for_function("() => document.getElementById('kept').className.includes('late')")
    page.close(run_before_unload=False)
    with desk(folder, tmp_path / "cache", port) as address:
        after = context.new_page()
        after.goto(address)
        after.wait_for_timeout(11_000)  # longer than a living window would leave its draft alone
        after.goto(address.split("/?", maxsplit=1)[0] + "/tune/lantern-street")
        kept(after)
        assert "# left behind\n" in text_of(after)
    assert "# left behind\n" in (folder / "lantern-street.reed").read_text(encoding="utf-8")
    context.close()


def _free_port() -> int:
    with socket.socket() as listening:
        listening.bind(("127.0.0.1", 0))
        return int(listening.getsockname()[1])


def test_the_same_words_changed_twice_are_shown_side_by_side(page: Page, visit: Visit) -> None:
    blocked = [True]
    page.route("**/edit", lambda route: route.abort() if blocked[0] else route.continue_())
    caret_before(page, "4b 4d\n2: . .", 2)
    page.keyboard.type("'")
    page.wait_for_function("() => document.getElementById('kept').className.includes('late')")
    other = visit.open("/tune/lantern-street")
    kept(other)
    caret_before(other, "4b 4d\n2: . .", 5)
    other.keyboard.type("v")
    kept(other)
    blocked[0] = False
    box = page.locator("dialog.conflict")
    box.wait_for()
    assert box.locator(".side pre").all_inner_texts() == [
        "1: 5d =&4d 4b' 4d",
        "1: 5d =&4d 4b 4dv",
    ]
    box.get_by_label("1: 5d =&4d 4b 4dv").check()
    box.get_by_role("button", name="Keep what is chosen").click()
    kept(page)
    assert text_of(page) == text_of(other)
    assert "1: 5d =&4d 4b 4dv\n" in text_of(page)
    page.click("#earlier")
    page.locator(".past-list button").first.wait_for()
    page.keyboard.press("Escape")


def test_typing_while_two_texts_are_joined_loses_nothing(page: Page, visit: Visit) -> None:
    other = visit.open("/tune/lantern-street")
    kept(other)
    caret_before(page, "School")
    caret_before(other, "Chorus")
    for number in range(12):
        page.keyboard.type(f"# first {number}\n")
        other.keyboard.type(f"# other {number}\n")
    for each in (page, other):
        each.wait_for_function(
            "() => { const text = document.getElementById('text').value;"
            " return text.includes('# first 11') && text.includes('# other 11'); }"
        )
        kept(each)
    text = text_of(page)
    for number in range(12):
        assert text.count(f"# first {number}\n") == 1
        assert text.count(f"# other {number}\n") == 1


def test_a_sentence_is_changed_in_its_place_and_undone(page: Page, visit: Visit) -> None:
    page.locator("#teach").scroll_into_view_if_needed()
    first = page.locator(".sentence").first
    first.wait_for()
    own = first.input_value()
    with page.expect_response("**/sentences") as answer:
        first.fill("Say this in my words.")
        page.locator("#teach-name").click()
        page.keyboard.press("Tab")
    assert answer.value.ok
    again = visit.open("/tune/lantern-street")
    kept(again)
    again.locator("#teach").scroll_into_view_if_needed()
    again.locator(".sentence").first.wait_for()
    assert again.locator(".sentence").first.input_value() == "Say this in my words."
    assert again.get_by_text("your words").first.is_visible()
    with page.expect_response("**/sentences") as answer:
        page.click("#undo")
    assert answer.value.ok
    assert first.input_value() == own


def test_a_melody_is_fitted_and_taken(visit: Visit, tmp_path: Path) -> None:
    melody = tmp_path / "gate.abc"
    melody.write_text('X:1\nT:Gate Song\nM:3/4\nL:1/4\nK:G\n"G"G B d|"C"e2 d|"G"G3|\n')
    page = visit.open("/fit")
    page.set_input_files("#melody-file", melody)
    page.locator(".choices li").first.wait_for(timeout=90_000)
    assert "harp" in page.locator(".choices h3").first.inner_text()
    page.get_by_role("button", name="Take this one").first.click()
    page.wait_for_selector("#text", timeout=90_000)
    kept(page)
    assert text_of(page).startswith("Title: Gate Song\n")
    page.locator("#staff .page svg").first.wait_for()


def test_a_file_that_is_no_melody_is_told_with_its_mend(visit: Visit, tmp_path: Path) -> None:
    wrong = tmp_path / "no.mid"
    wrong.write_bytes(b"this is no melody")
    page = visit.open("/fit")
    page.set_input_files("#melody-file", wrong)
    trouble = page.locator("#choices .trouble")
    trouble.wait_for(timeout=90_000)
    assert "Mend:" in trouble.inner_text()


def test_a_bar_of_the_map_leads_to_its_words_and_hearing_marks_them(page: Page) -> None:
    page.locator(".map .bar", has_text="Window").first.click()
    assert page.evaluate("() => document.activeElement.id") == "text"
    chosen = page.eval_on_selector(
        "#text", "(area) => area.value.slice(area.selectionStart, area.selectionEnd)"
    )
    assert chosen == "4dv"
    page.locator("#staff .page svg").first.wait_for()
    page.select_option("#hear-what", "bar")
    page.click("#play")
    page.wait_for_selector(".layer .now", timeout=60_000)
    assert page.locator(".layer .now").inner_text() == "4dv"
    assert page.locator("#staff .page .is-now").count() > 0
    assert page.locator(".map .bar.sounding").inner_text().find("Window") >= 0
    page.wait_for_function(
        "() => document.getElementById('play').textContent === 'Hear'", timeout=20_000
    )


def test_only_lines_of_music_that_changed_are_drawn_again(page: Page) -> None:
    page.locator("#staff .page svg").first.wait_for()
    page.evaluate(
        "() => document.querySelectorAll('#staff .page').forEach((box) =>"
        " box.shadowRoot.querySelectorAll('.line').forEach((line) => { line.old = true; }))"
    )
    caret_before(page, "8b&6b 6d 5b 4d'")
    page.keyboard.press("Delete")
    page.keyboard.type("6")
    kept(page)
    count = (
        "() => [...document.querySelector('#staff .page').shadowRoot.querySelectorAll('.line')]"
        ".filter((line) => !line.old).length"
    )
    page.wait_for_function(f"{count[:6]}({count})() > 0")
    assert page.evaluate(count) == 1
