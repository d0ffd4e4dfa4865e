"""The page about the commands tells the truth."""

from __future__ import annotations

from reedwright.cli.commands import COMMANDS
from tests.cli.docs import PAGE, rewritten


def test_every_example_prints_what_the_page_says() -> None:
    page = PAGE.read_text(encoding="utf-8")
    assert rewritten(page).splitlines() == page.splitlines()


def test_every_command_has_its_place_on_the_page() -> None:
    page = PAGE.read_text(encoding="utf-8")
    headings = [line[3:].split(":")[0] for line in page.splitlines() if line.startswith("## ")]
    assert sorted(headings) == sorted(COMMANDS)
