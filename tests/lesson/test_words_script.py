"""The script is Markdown that shows the tune's own words as they were written.

Outside check: markdown-it-py, a CommonMark parser (a dependency of rich, installed with the
development tools); skipped where it is not there.
"""

import html
import re
import unicodedata

import pytest

from reedwright.lesson.script import escaped, script_markdown
from reedwright.lesson.study import Study
from reedwright.lesson.words.isolate import isolated
from reedwright.lesson.words.speech import tune_words
from tests.lesson.taught import DEMOS, demo, taught

NASTY = [
    "*bold* _it_ `code` [a](b) <b>x</b> &amp; ~~no~~",
    "# heading", "- item", "+ item", "1. one", "2) two", "> quote", "=== ", "--- ",
    "</script><script>alert(1)</script>", "a --> b", 'say "so" and \'so\'', "back\\slash",
    "{count} {0} %s", "| a | b |", "![x](y)", "ends #", "$x$",
]  # fmt: skip


def script(found: Study, plan: str | None = None) -> str:
    return script_markdown(found, tune_words(found), plan)


@pytest.mark.parametrize("text", NASTY)
def test_text_is_shown_as_it_is(text: str) -> None:
    markdown = pytest.importorskip("markdown_it").MarkdownIt("commonmark")
    shown = " ".join(text.split())
    for before in ("", "# "):
        rendered = markdown.render(before + escaped(text))
        tag = "h1" if before else "p"
        assert rendered == f"<{tag}>{html.escape(shown).replace('&#x27;', chr(39))}</{tag}>\n"


@pytest.mark.parametrize("text", NASTY)
def test_nasty_titles_and_remarks_are_safe(text: str) -> None:
    markdown = pytest.importorskip("markdown_it").MarkdownIt("commonmark")
    found = taught(
        f"Title: a {text}\nBy: a {text}\nHarp: C\nPosition: 2\n> a {text}\n\n"
        f"Lick Call\n1: 2d 3d 4d 5d\n> b {text}\n"
    )
    tokens = markdown.parse(script(found))
    inside = [token for token in tokens if token.type == "inline"]
    kinds = {child.type for token in inside for child in token.children}
    assert kinds <= {"text", "text_special"}
    shown = ["".join(child.content for child in token.children) for token in inside]
    assert shown[0] == "a " + " ".join(text.split())
    assert sum(" ".join(text.split()) in line for line in shown) == 4


def test_right_to_left_names_are_isolated() -> None:
    name = "שלום"
    found = taught(
        f"Title: {name}\nHarp: C\nPosition: 2\n\nLick Call {name}\n1: 2d 3d 4d 5d\n"
        "Lick Other\n1: 2d 3d 4d 5d\n"
    )
    said = script(found)
    for line in said.splitlines():
        if name in line:
            assert line.count("\u2068") == line.count("\u2069") == 1
            assert line.index("\u2068") < line.index(name) < line.index("\u2069")
    assert sum(name in line for line in said.splitlines()) == 3  # title, lick, likeness


def test_direction_signs_of_a_name_cannot_leak() -> None:
    assert isolated("a\u202eb\u2066") == "ab"
    assert isolated("\u202eא") == "\u2068א\u2069"
    assert isolated("Été") == "Été"
    assert unicodedata.bidirectional("א") == "R"


@pytest.mark.parametrize("name", DEMOS)
def test_every_sentence_is_a_paragraph(name: str) -> None:
    found = demo(name)
    words = tune_words(found)
    blocks = script(found).rstrip("\n").split("\n\n")
    assert all("\n" not in block for block in blocks)
    said = [escaped(one.text) for all_said in words.pieces.values() for one in all_said]
    assert [block for block in blocks if block in said] == said
    assert sum(block.startswith("### ") for block in blocks) == len(found.pieces)


def test_the_plan_stands_before_the_licks() -> None:
    said = script(demo(DEMOS[0]), "## Plan\n\nHear it.\n")
    assert said.index("## Plan") < said.index("Hear it.") < said.index("### Piece 1")


def test_nothing_to_say() -> None:
    found = taught("Title: T\nHarp: C\nPosition: 2\n\nLick A\n1: . . . .\n")
    assert "Nothing sounds in this tune, so there is nothing to say yet." in script(found)


def test_silent_and_repeated_licks_are_told() -> None:
    found = taught(
        "Title: T\nHarp: C\nPosition: 2\n\nLick A\n1: 2d . . .\n\nLick B\n1: . . . .\n\n"
        "Chorus\n1 A\n2 A\n3 B\n"
    )
    said = script(found)
    assert "A comes twice in the tune." in said
    assert "Nothing of B sounds in this tune" in said


def test_cautions_are_told() -> None:
    said = script(demo(DEMOS[0]))
    assert re.search(r"dizzy", said)
    assert re.search(r"do not share it", said)
