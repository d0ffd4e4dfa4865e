"""The pages about the tune file say what the code does: examples, grammar, tables, limits."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.check.as_text import MAX_SHOWN, report_text, summary
from reedwright.check.check import check
from reedwright.errors import TokenError
from reedwright.sheet.limits import MAX_BARS, MAX_SOUNDS
from reedwright.tune import entries, form, header, headervalues, licks, load, ordercheck, read, text
from reedwright.tune.marks import MAX_RATE, Cup, Loudness, MarkKind
from reedwright.tune.place import place
from reedwright.tune.read import read_tune
from reedwright.tune.reading import MAX_PROBLEMS
from reedwright.tune.tokens import format_sound, parse_sound
from reedwright.tune.values import MAX_PARTS, Sound
from reedwright.tune.write import write_tune
from tests.strategies import sounds, tunes_as_written
from tests.tune.grammar import DOCS, ebnf, regex, terminals

PAGES = ("tune-file.md", "tour.md")
_HEAD = "Title: T\nHarp: A\nPosition: 2\n"
_FORM = "Form: 12-bar\n"
_LICKS = "".join(
    f"\nLick {name}\n0: . . . 4d\n1: 4d . . .\n2: 3d = . .\n"
    for name in ("Call", "Train", "Answer", "Climb", "Turn")
)


def blocks(page: str) -> list[tuple[str, str]]:
    """Kind and text of every fenced block of a page."""
    source = (DOCS / page).read_text(encoding="utf-8")
    assert source.count("\n```") % 2 == 0
    return re.findall(r"^```([a-z]*)\n(.*?)^```", source, re.DOTALL | re.MULTILINE)


def whole(kind: str, block: str) -> str:
    """A tune made of an example: what stands round it in the reader's mind is put round it."""
    if kind == "reed":
        return block
    if kind == "header":
        given = {line.partition(":")[0] for line in block.splitlines()}
        rest = [line for line in _HEAD.splitlines() if line.partition(":")[0] not in given]
        return "\n".join([*rest, block]) + "\nLick A\n1: . . . .\n"
    if kind == "cells":
        bars = [f"{number}: {line}" for number, line in enumerate(block.splitlines(), 1)]
        return _HEAD + "Lick A\n" + "\n".join(bars) + "\n"
    if kind == "lick":
        others = _LICKS if "Lick Call" not in block else _LICKS[_LICKS.index("\nLick Train") :]
        others = re.sub(r"\nLick Train\n(.+\n)*", "", others) if "Lick Train" in block else others
        return _HEAD + others + "\n" + block
    assert kind == "chorus"
    return _HEAD + _FORM + _LICKS + "\n" + block


@pytest.mark.parametrize(
    ("kind", "block"),
    [one for page in PAGES for one in blocks(page) if one[0] not in ("ebnf", "console")],
)
def test_examples_are_read_as_they_stand(kind: str, block: str) -> None:
    tune = read_tune(whole(kind, block))
    score = place(tune)
    if kind == "reed":
        assert [finding for finding in score.findings if "still" in finding.found] == []
        assert write_tune(tune.text) == block
    if kind in ("cells", "lick", "reed", "chorus"):
        assert score.events


def test_there_are_examples_of_every_kind() -> None:
    kinds = [kind for page in PAGES for kind, _ in blocks(page)]
    assert set(kinds) == {"ebnf", "reed", "header", "cells", "lick", "chorus", "console"}
    assert len(kinds) >= 14


def test_the_whole_tune_of_the_tour_is_good_music() -> None:
    """Nothing to mend, and every change of chord is met on a tone of the new chord."""
    report = check(place(read_tune(dict(blocks("tour.md"))["reed"])))
    assert report.findings == ()
    assert summary(report).endswith(
        "Chord changes: 2; met on a tone of the new chord: 2; on its root: 0."
    )


def test_the_finding_in_the_tour_is_what_a_teacher_sees() -> None:
    page = dict(blocks("tour.md"))
    tune = page["reed"].replace("/3d", "/5d'")
    report = check(place(read_tune(tune)))
    said = report_text(report, tune.splitlines())
    assert said.startswith(page["console"] + "\n")
    assert said.count("\n\n") == 1


# The grammar


def test_the_grammar_is_whole() -> None:
    rules = ebnf()
    words = {word for side in rules.values() for word in re.findall(r"[A-Za-z-]{2,}", _bare(side))}
    assert words - rules.keys() == {"SP", "text", "name", "key"}
    assert rules.keys() - words == {"tune"}
    for rule in rules:
        re.compile(regex(rule))


def _bare(side: str) -> str:
    return re.sub(r'"[^"]+"', "", side)


def test_the_terminals_are_those_of_the_code() -> None:
    assert terminals("hands") == ["cup", *Cup]
    assert terminals("loudness") == list(Loudness)
    letters = [kind.value for kind in MarkKind if kind.value.isalpha()]
    assert terminals("mark") == letters
    signs = [sign for rule in ("played", "part") for sign in terminals(rule)]
    assert {kind.value for kind in MarkKind} - set(letters) <= set(signs)


_LINES = (
    "remark",
    "comment",
    "header",
    "more",
    "lick-head",
    "chorus-head",
    "bar",
    "borrowed",
    "entry",
    "silence",
)


@given(tunes_as_written())
def test_every_line_of_a_tune_is_in_the_grammar(written: str) -> None:
    rules = [re.compile(regex(rule)) for rule in _LINES]
    for line in filter(None, written.splitlines()):
        assert any(rule.fullmatch(line) for rule in rules), line


@given(sounds, st.booleans())
def test_every_sound_is_in_the_grammar(sound: Sound, signed: bool) -> None:
    assert re.fullmatch(regex("part"), format_sound(sound, signed))


@given(st.from_regex(regex("part"), fullmatch=True), st.booleans())
def test_what_the_grammar_allows_is_read_or_breaks_a_rule_of_its_own(
    part: str, signed: bool
) -> None:
    """Not that nobody can read it, but a hole too far, a mark twice, letters in a signed file …"""
    few = max(map(len, re.findall(r"/+|\\+|[0-9]+", part)), default=0)
    if few > 2 or part in ("=", ".") or len(part) > 80:
        return
    try:
        parse_sound(part, signed)
    except TokenError as error:
        rule = error.problems[0].rule
        wrong_hand = "signed" in rule or "blow or draw" in rule or "Signs are read" in rule
        leading_zero = re.search(r"(?<![0-9])0", part)
        overbent = "o'" in part
        assert not rule.startswith("A part is") or wrong_hand or leading_zero or overbent, rule


# The tables


def table(heading: str) -> list[list[str]]:
    """Cells of the first table below a heading of the tune file's page."""
    page = (DOCS / "tune-file.md").read_text(encoding="utf-8")
    section = page[page.index(heading) :]
    rows = re.search(r"(?:^\|.*\n)+", section, re.MULTILINE)
    assert rows is not None
    return [
        [cell.strip() for cell in row.strip("|").split(" | ")] for row in rows[0].splitlines()[2:]
    ]


def test_headers_are_all_there_with_examples_that_work() -> None:
    rows = table("## Headers")
    assert [row[0].strip("`| ") for row in rows] == list(header.KEYS)
    for row in rows:
        example = row[2].strip("`")
        assert read_tune(whole("header", f"{example}\n")).lines, example


def test_marks_are_all_there_in_the_order_they_are_written() -> None:
    rows = table("**Marks**")
    assert [row[0].strip("`| ") for row in rows] == [kind.value for kind in MarkKind]
    for row, kind in zip(rows, MarkKind, strict=True):
        assert row[1].startswith(kind.word)


def test_forms_are_all_named() -> None:
    page = (DOCS / "tune-file.md").read_text(encoding="utf-8")
    (named,) = re.findall(r"A form is one of (.*?), or chords", page, re.DOTALL)
    assert re.findall(r"`([^`]+)`", named.replace("\n", " ")) == list(form.form_names())


def test_limits_are_those_of_the_code() -> None:
    assert {
        row[0].strip("| "): int(row[1].strip("| ").replace(",", "")) for row in table("## Limits")
    } == {
        "bytes of a file": load.MAX_BYTES,
        "characters of a tune": read.MAX_CHARACTERS,
        "lines": read.MAX_LINES,
        "characters of a line": text.MAX_LINE,
        "characters of a header value": header.MAX_VALUE,
        "characters of a title": header.MAX_TITLE,
        "characters of a lick's name": entries.MAX_NAME,
        "parts of a cell": MAX_PARTS,
        "rate of a shake, vibrato or wah": MAX_RATE,
        "bars of a form": form.MAX_BARS,
        "bars of all licks, borrowed ones too": licks.MAX_LICK_BARS,
        "bars of all choruses": ordercheck.MAX_PLACED_BARS,
        "notes, rests and holds as placed": ordercheck.MAX_PLACED_PARTS,
        "tempos": headervalues.MAX_TEMPOS,
        "times a lick or chorus is repeated": entries.MAX_TIMES,
        "problems shown": MAX_PROBLEMS,
        "findings printed by `check`": MAX_SHOWN,
        "bars of a printed sheet": MAX_BARS,
        "sounds of a printed sheet": MAX_SOUNDS,
    }
    assert f"{MAX_BARS} bars and {MAX_SOUNDS:,} sounds" in (DOCS / "sheets.md").read_text("utf-8")
    assert f"At most {MAX_SHOWN} findings" in (DOCS / "checks.md").read_text("utf-8")


def test_the_id_in_the_page_is_an_id() -> None:
    body = "Lick Call\n1: . . . .\n2: . . 4d .\n\nChorus\n5 Call\n"
    (event,) = place(read_tune(_HEAD + _FORM + body)).events
    page = (DOCS / "tune-file.md").read_text(encoding="utf-8")
    assert f"`{event.id}` is lick Call, bar 2, cell 3, part 1" in page
