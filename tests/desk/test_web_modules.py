"""The browser's pure modules, run in node: places in a text, lines that differ, bars by keys.

What keys write is read back by the project's own reader of tunes, which shares no line with them.
"""

from __future__ import annotations

import json
import random
import shutil
import subprocess
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

import reedwright
from reedwright.tune.place import place
from reedwright.tune.read import read_tune

WEB = Path(reedwright.__file__).parent / "desk" / "web"
NODE = shutil.which("node")
TICKS = 120
HEAD = "Title: T\nHarp: C\nPosition: second\n\nLick One\n"

pytestmark = pytest.mark.skipif(NODE is None, reason="node is not installed")


def node(module: str, body: str, given: object) -> Any:  # noqa: ANN401 - JSON
    """The value of some JavaScript over a module `m` and a value `given`."""
    program = (
        f"import * as m from {json.dumps((WEB / module).as_uri())};"
        "let text = ''; for await (const part of process.stdin) text += part;"
        f"const given = JSON.parse(text); console.log(JSON.stringify((() => {{{body}}})()));"
    )
    done = subprocess.run(
        [str(NODE), "--input-type=module", "-e", program],
        input=json.dumps(given),
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def _texts(seed: int, count: int) -> list[list[str]]:
    """Pairs of texts of which the second is the first, edited."""
    chance = random.Random(seed)
    signs = "ab \n4d&='🎵é"
    pairs = []
    for _ in range(count):
        text = "".join(chance.choice(signs) for _ in range(chance.randrange(30)))
        begin = chance.randrange(len(text) + 1)
        end = chance.randrange(begin, len(text) + 1)
        put = "".join(chance.choice(signs) for _ in range(chance.randrange(6)))
        pairs.append([text, text[:begin] + put + text[end:]])
    return pairs


def test_a_change_leads_from_the_text_before_to_the_text_after() -> None:
    pairs = _texts(1, 800)
    body = """return given.map(([a, b]) => { const c = m.changeOf(a, b);
      return c ? m.changed(a, c) : a; });"""
    assert node("text.js", body, pairs) == [after for _, after in pairs]


def test_a_change_never_parts_a_sign_of_two_units() -> None:
    pairs = [["🎵", "🎶"], ["a🎵b", "a🎶b"], ["🎵🎵", "🎵"]]
    body = "return given.map(([a, b]) => m.changeOf(a, b).insert);"
    for insert in node("text.js", body, pairs):
        insert.encode("utf-16", errors="strict")  # no lone half of a pair


def test_places_count_lines_and_characters_as_the_server_does() -> None:
    texts = [text for pair in _texts(2, 300) for text in pair]
    body = """return given.map((text) => { const found = [];
      for (let at = 0; at <= text.length; at += 1) {
        const low = text.charCodeAt(at) >= 0xdc00 && text.charCodeAt(at) <= 0xdfff;
        if (!low) found.push([m.placeAt(text, at).line, m.placeAt(text, at).column,
          m.offsetAt(text, m.placeAt(text, at).line, m.placeAt(text, at).column) === at]);
      } return found; });"""
    for text, found in zip(texts, node("text.js", body, texts), strict=True):
        places = [
            [text.count("\n", 0, at) + 1, at - (text.rfind("\n", 0, at) + 1) + 1, True]
            for at in range(len(text) + 1)
        ]
        assert found == places, text


def test_lines_that_differ_build_both_texts_again() -> None:
    chance = random.Random(3)
    pairs = [
        ["\n".join(chance.choice("abcd") for _ in range(chance.randrange(1, 12))) for _ in "xy"]
        for _ in range(400)
    ]
    body = "return given.map(([a, b]) => m.hunks(a, b));"
    for (mine, theirs), hunks in zip(pairs, node("diff.js", body, pairs), strict=True):
        assert "\n".join(line for hunk in hunks for line in hunk["mine"]) == mine
        assert "\n".join(line for hunk in hunks for line in hunk["theirs"]) == theirs
        assert all(hunk["mine"] == hunk["theirs"] for hunk in hunks if hunk["same"])


def test_the_fewest_lines_differ() -> None:
    """Against the textbook recurrence of the longest common sequence (common knowledge)."""
    chance = random.Random(4)
    pairs = [
        ["\n".join(chance.choice("abc") for _ in range(chance.randrange(1, 9))) for _ in "xy"]
        for _ in range(200)
    ]
    body = """return given.map(([a, b]) => m.hunks(a, b).filter((x) => x.same)
      .reduce((n, x) => n + x.mine.length, 0));"""
    for (mine, theirs), same in zip(pairs, node("diff.js", body, pairs), strict=True):
        assert same == _common(tuple(mine.split("\n")), tuple(theirs.split("\n")))


def _common(a: tuple[str, ...], b: tuple[str, ...]) -> int:
    row = [0] * (len(b) + 1)
    for sign in a:
        before = row[:]
        for at, other in enumerate(b):
            row[at + 1] = before[at] + 1 if sign == other else max(before[at + 1], row[at])
    return row[-1]


def _keys(chance: random.Random) -> list[list[Any]]:
    """Notes, holds and rests in a bar of four beats, as keys would put them: at, length, text."""
    grid = chance.choice([30, 40, 60, 120])
    at, pressed = 0, []
    while at < 4 * TICKS:
        length = min(grid * chance.choice([1, 1, 1, 2, 3, 4]), 4 * TICKS - at)
        text = chance.choice(["2d", "3d'", "4b", "1+2d", "6bo"]) if chance.random() < 0.8 else "."
        pressed.append([at, length, text])
        at += length
    return pressed


def _wanted(pressed: list[list[Any]]) -> list[tuple[str, Fraction, Fraction]]:
    return [
        (text, Fraction(at, TICKS), Fraction(length, TICKS))
        for at, length, text in pressed
        if text != "."
    ]


def _heard(line: str) -> list[tuple[str, Fraction, Fraction]]:
    score = place(read_tune(f"{HEAD}{line}\n"))
    return [
        ("+".join(str(note) for note in event.sound.reeds), event.start, event.length)
        for event in score.events
    ]


def test_a_bar_written_by_keys_is_read_as_it_was_pressed() -> None:
    chance = random.Random(5)
    bars = [_keys(chance) for _ in range(300)]
    body = """return given.map((bar) => { const ticks = Array(480).fill(".");
      for (const [at, length, text] of bar) m.put(ticks, at, length, text);
      return m.written(1, ticks); });"""
    for pressed, line in zip(bars, node("bars.js", body, bars), strict=True):
        wanted = [
            (text.replace("1+2d", "1d+2d"), at, length) for text, at, length in _wanted(pressed)
        ]
        assert _heard(line) == wanted, line


def test_a_bar_read_and_written_again_sounds_the_same() -> None:
    chance = random.Random(6)
    bars = [_keys(chance) for _ in range(200)]
    body = """return given.map((bar) => { const ticks = Array(480).fill(".");
      for (const [at, length, text] of bar) m.put(ticks, at, length, text);
      const line = m.written(1, ticks);
      const again = m.ticksOf(m.licksOf("Lick One\\n" + line)[0].bars[0], 4);
      return [line, m.written(1, again)]; });"""
    for line, again in node("bars.js", body, bars):
        assert again == line


def test_a_note_over_others_leaves_no_hold_of_what_is_gone() -> None:
    body = """const ticks = m.ticksOf(m.licksOf("Lick One\\n1: 2d = = 3d")[0].bars[0], 4);
      m.put(ticks, 60, 60, "4b"); return m.written(1, ticks);"""
    assert node("bars.js", body, None) == "1: 2d&4b . . 3d"


def test_directions_of_a_bar_stay_before_their_beat() -> None:
    body = """const bar = m.licksOf("Lick One\\n1: 3d {soft} 2d {cup open, loud} 4d .")[0].bars[0];
      const ticks = m.ticksOf(bar, 4); m.put(ticks, 360, 120, "1d");
      return m.written(1, ticks, bar.cells.map((cell) => cell.lead));"""
    assert node("bars.js", body, None) == "1: 3d {soft} 2d {cup open, loud} 4d 1d"


def test_bends_and_holes_join_the_last_note() -> None:
    body = (
        "return [m.bent('3d'), m.bent(\"3d'\"), m.joined('2d', 1, 'd'), m.joined('1+2d', 3, 'd')];"
    )
    assert node("bars.js", body, None) == ["3d'", "3d''", "1+2d", "1+2+3d"]


def test_what_is_asked_of_completion_is_told_from_the_text() -> None:
    text = "Harp: lo\nForm: 12\n\nLick One\n1: 2d\n2: as O\n\nChorus\n1 On\n3: T\n"
    ends = ["lo", "12", "2d", "as O", "1 On", "3: T"]
    body = """const { text, ends } = given;
      return ends.map((end) => m.askedAt(text, text.indexOf(end) + end.length));"""
    asked = node("complete.js", body, {"text": text, "ends": ends})
    told = [one and (one["kind"], one["prefix"]) for one in asked]
    assert told == [
        ("harp", "lo"),
        ("form", "12"),
        None,
        ("lick", "O"),
        ("lick", "On"),
        ("lick", "T"),
    ]


def test_what_was_typed_meanwhile_is_kept_on_top_of_what_was_joined() -> None:
    cases: list[list[str | None]] = [
        ["a\nb\nc", "a\nb\ncX", "aY\nb\nc", "aY\nb\ncX"],
        ["a\nb\nc", "aX\nb\nc", "a\nb\ncY", "aX\nb\ncY"],
        ["a\nb", "a\nbX", "a\nb", "a\nbX"],
        ["a\nb", "a\nb", "a\nbY", "a\nbY"],
        ["abc", "aXc", "aYc", None],
    ]
    body = "return given.map(([base, mine, theirs]) => m.rebased(base, mine, theirs));"
    assert node("text.js", body, cases) == [case[-1] for case in cases]


def test_nothing_typed_is_lost_where_two_changes_stand_apart() -> None:
    chance = random.Random(7)
    cases = []
    for _ in range(300):
        lines = [chance.choice("abcd") * chance.randrange(4) for _ in range(8)]
        mine, theirs, both = lines[:], lines[:], lines[:]
        first, second = chance.sample([0, 2, 4, 6], 2)
        mine[first] = both[first] = "mine"
        theirs[second] = both[second] = "theirs"
        cases.append(["\n".join(each) for each in (lines, mine, theirs, both)])
    body = "return given.map(([base, mine, theirs]) => m.rebased(base, mine, theirs));"
    assert node("text.js", body, cases) == [both for *_, both in cases]
