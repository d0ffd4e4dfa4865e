"""Variations: each passes what the lick passes, says what changed, and is unlike the others."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given

from reedwright.check.check import check
from reedwright.errors import SettingError
from reedwright.tune.findings import Severity
from reedwright.tune.place import Score, place
from reedwright.tune.read import read_tune
from reedwright.tune.techniques import ladder, techniques_of
from reedwright.tune.values import Bar, Borrow, Sound
from reedwright.tune.write import write_tune
from reedwright.vary.levels import for_level
from reedwright.vary.line import line_of
from reedwright.vary.proposals import Proposal, rewritten, vary
from tests.strategies import tunes_as_written

DEMO = sorted((Path(__file__).parents[2] / "demo").glob("*.reed"))
CALL = """\
Title: T
Harp: C
Position: 2
Feel: shuffle
Tempo: 90
Form: 12-bar

Lick Call
1: 2d&3d 4d&4b 3d 2d
2: 2d = . .

Chorus
1 Call
5 Call
"""


def score_of(text: str) -> Score:
    return place(read_tune(text))


def shown(proposal: Proposal) -> list[str]:
    text = write_tune(read_tune(CALL).text)
    new = rewritten(read_tune(CALL), read_tune(CALL).text, {"call": proposal.lick})
    assert write_tune(new.text) != text
    return [line for line in write_tune(new.text).splitlines() if line[:2] in ("1:", "2:")]


def test_every_kind_of_variation_of_a_plain_call() -> None:
    found = vary(score_of(CALL), "Call", 50)
    assert {each.rule for each in found} == {"ending", "answer", "chord", "rhythm"}
    assert [each.cost for each in found] == sorted(each.cost for each in found)
    below = next(each for each in found if "from below" in each.changed)
    assert shown(below) == ["1: 2d&3d 4d&4b 2b 2d''", "2: 2d = . ."]
    four = next(each for each in found if "four chord" in each.changed)
    assert shown(four)[0].startswith("1: 4b&5b")  # root and third of C for those of G


@pytest.mark.parametrize("path", DEMO, ids=lambda path: path.stem)
def test_demo_licks(path: Path) -> None:
    """By the checks themselves: no new error or warning with any proposal in place."""
    score = score_of(path.read_text(encoding="utf-8"))
    before = [f.check for f in check(score).findings if f.severity is not Severity.ADVICE]
    assert before == []
    name = next(iter(score.tune.licks.values())).lick.name
    found = vary(score, name, 4)
    assert found
    texts = set()
    for proposal in found:
        tune = rewritten(score.tune, score.tune.text, {proposal.lick.slug: proposal.lick})
        worse = [f for f in check(place(tune)).findings if f.severity is not Severity.ADVICE]
        assert [f for f in worse if not (proposal.rule == "chord" and f.check == "harmony")] == []
        assert proposal.changed.endswith(".")
        assert proposal.why.endswith(".")
        texts.add(write_tune(tune.text))
    assert len(texts) == len(found)


def test_an_ending_keeps_the_landing_and_all_before() -> None:
    line = line_of(read_tune(CALL).licks["call"], 4)
    for each in vary(score_of(CALL), "Call", 50):
        if each.rule == "ending":
            new = line_of(read_tune(CALL.replace(*_bars(each))).licks["call"], 4)
            assert new.notes[-1] == line.notes[-1]
            assert new.notes[:-3] == line.notes[:-3]


def _bars(proposal: Proposal) -> tuple[str, str]:
    old = "1: 2d&3d 4d&4b 3d 2d\n2: 2d = . ."
    return old, "\n".join(shown(proposal))


def test_a_student_gets_only_what_the_student_has() -> None:
    beginner = score_of(CALL.replace("Form:", "Student: beginner\nForm:"))
    allowed = ladder().of_level("beginner")
    for each in vary(beginner, "Call", 50):
        full = read_tune(CALL.replace(*_bars(each))).licks["call"]
        for note in line_of(full, 4).notes:
            assert allowed.issuperset(techniques_of(note.sound, beginner.tune.harp))


@pytest.mark.parametrize(
    ("name", "wanted", "told"),
    [
        ("Cal", 5, "no lick 'Cal' is placed in this tune. A lick is varied where it is heard. Mend: take one of Call."),  # noqa: E501
        ("Call", 0, "0 variations wanted. There are 1 to 50 at a time."),
        ("Call", 51, "51 variations wanted. There are 1 to 50 at a time."),
    ],
)  # fmt: skip
def test_what_cannot_be_varied(name: str, wanted: int, told: str) -> None:
    with pytest.raises(SettingError) as caught:
        vary(score_of(CALL), name, wanted)
    assert str(caught.value) == told


@given(tunes_as_written())
def test_a_line_is_its_lick(text: str) -> None:
    """Written again, every part of every lick sounds, holds and rests where it did."""
    tune = read_tune(text)
    for full in tune.licks.values():
        line = line_of(full, tune.meter.beats)
        assert line.fits()
        if any(isinstance(each, Borrow) for each in full.lick.lines):
            continue  # a bar borrowed from the middle may begin with a hold that holds nothing here
        again = {bar.number: bar for bar in line.written().lines if isinstance(bar, Bar)}
        for number, bar in again.items():
            assert heard(bar) == heard(full.bar(number).bar)


def heard(bar: Bar) -> list[tuple[object, ...]]:
    """What begins where in a bar: sounds by what they are, and rests; holds go on."""
    found: list[tuple[object, ...]] = []
    for beat, cell in enumerate(bar.cells):
        for at, part in enumerate(cell.parts):
            what = part if isinstance(part, Sound) else type(part).__name__
            if what != "Hold" and (what != "Rest" or not found or found[-1][1] != "Rest"):
                found.append((beat + Fraction(at, len(cell.parts)), what))
    return found


def test_easier_asks_for_no_more_than_the_level_has() -> None:
    for path in DEMO:
        score = score_of(path.read_text(encoding="utf-8"))
        for level in ("beginner", "improver"):
            made = for_level(score, level)
            new = score_of(write_tune(made.text, score.tune.signed))
            allowed = ladder().of_level(level)
            asked = {t for e in new.events for t in techniques_of(e.sound, new.tune.harp)}
            assert asked <= allowed
            assert len(new.events) == len(score.events)
            assert check(new).ok


def test_harder_adds_and_says_where() -> None:
    made = for_level(score_of(CALL), "expert")
    assert [(c.lick, c.bar, str(c.beat), c.was, c.now) for c in made.changes] == [
        ("Call", 1, "3", "3d", "3d'&3d"),
        ("Call", 2, "1", "2d", "/2d"),
    ]
    assert "Student: expert\n" in write_tune(made.text)
    for change in made.changes:
        assert change.why.endswith(".")


def test_a_level_that_suits_changes_nothing_but_the_student() -> None:
    made = for_level(score_of(CALL), "beginner")
    assert made.changes == ()
    assert write_tune(made.text) == write_tune(read_tune(CALL).text).replace(
        "Form: 12-bar\n", "Form: 12-bar\nStudent: beginner\n"
    )
