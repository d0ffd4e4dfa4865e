"""The report as text: the source line, a caret under the token, what was found, the mend."""

import re
from dataclasses import replace

from hypothesis import given

from reedwright.check.as_text import MAX_SHOWN, WIDTH, report_text, summary
from reedwright.check.check import check
from reedwright.tune.findings import Finding, Severity
from tests.check.shuffle import SHUFFLE
from tests.check.tunes import lick, score_of, tunes

TEXT = """\
Title: Two faults
Harp: C
Position: 2
Form: 12-bar
Lick Call
1: 2d . .&4d''! 1d
2: /4b . . .
Chorus
1 Call
3 rest, 10 bars
"""


def test_the_whole_text() -> None:
    assert report_text(check(score_of(TEXT)), TEXT.split("\n")) == (
        "error (exists), line 6, chorus 1 bar 1 beat 3 &, Call\n"
        "     6 | 1: 2d . .&4d''! 1d\n"
        "       |           ^^^^^\n"
        "  There is no 4d'': 4 draw bends 1 semitone at most on this harp.\n"
        "  Mend: write 4d'; the pitch you ask for is 4b.\n"
        "\n"
        "warning (exists), line 7, chorus 1 bar 2 beat 1, Call\n"
        "     7 | 2: /4b . . .\n"
        "       |    ^^^\n"
        "  A dip into 4b has nowhere to go: the note bends no further down.\n"
        "  Mend: leave the / out, or mark a note that bends.\n"
        "\n"
        "Two faults: 1 error, 1 warning. 12 bars, 4 sounds."
    )


def test_colours_only_when_asked_for() -> None:
    report, lines = check(score_of(TEXT)), TEXT.split("\n")
    plain = report_text(report, lines)
    coloured = report_text(report, lines, colour=True)
    assert "\x1b" not in plain
    assert coloured.startswith("\x1b[31merror\x1b[0m (exists)")
    assert re.sub(r"\x1b\[\d*m", "", coloured) == plain


def test_a_finding_about_the_whole_tune_stands_without_place_and_line() -> None:
    whole = Finding(Severity.ADVICE, "level", "a long tune", "play half of it")
    report = replace(check(lick("2d . . .")), findings=(whole,))
    assert report_text(report, ["Title: One lick"]) == (
        "advice (level)\n"
        "  A long tune.\n"
        "  Mend: play half of it.\n"
        "\n"
        "One lick: 1 piece of advice. 1 bar, 1 sound."
    )


def test_without_the_source_the_place_is_still_named() -> None:
    assert report_text(check(score_of(TEXT))).startswith(
        "error (exists), line 6, chorus 1 bar 1 beat 3 &, Call\n  There is no 4d''"
    )


def test_long_words_are_wrapped_beneath_their_beginning() -> None:
    whole = Finding(Severity.ADVICE, "level", "a tune", "play half of it, " + "and rest, " * 12)
    report = replace(check(lick("2d . . .")), findings=(whole,))
    lines = report_text(report).split("\n")
    assert max(len(line) for line in lines) <= WIDTH + len("     6 | ")
    assert [line[:14] for line in lines[2:4]] == ["  Mend: play h", "        and re"]


def test_a_long_line_is_cut_round_the_place() -> None:
    filler = "&".join(["2d"] * 12)
    score = lick(f"{filler} {filler} {filler} 4d''")
    source = [""] * 5 + [f"1: {filler} {filler} {filler} 4d''"]
    assert score.events[-1].line == 6
    shown, caret = report_text(check(score), source).split("\n")[1:3]
    assert len(shown) <= WIDTH + len("     6 | ")
    start, end = caret.index("^"), caret.rindex("^") + 1
    assert shown[start:end] == "4d''"


def test_wide_characters_before_the_place_take_two_columns() -> None:
    report = check(score_of(TEXT))
    line = "1: 譜譜 . .&4d''! 1d"
    caret = report_text(report, [""] * 5 + [line]).split("\n")[2]
    assert caret == "       | " + " " * 12 + "^^^^^"


def test_nothing_of_a_source_line_can_steer_a_terminal() -> None:
    lines = [line.replace("2d", "\x1b[2J") for line in TEXT.split("\n")]
    assert "\x1b" not in report_text(check(score_of(TEXT)), lines)


def test_summaries() -> None:
    assert summary(check(score_of(SHUFFLE))) == (
        "Mill Race: nothing to mend. 12 bars, 62 sounds. Chord changes: 9; "
        "met on a tone of the new chord: 8; on its root: 6."
    )
    assert summary(check(lick("2d = = ."))) == "One lick: nothing to mend. 1 bar, 1 sound."
    two = check(lick("3d = . .", "3d''' = . .", Form="IV7 | I7"))
    assert summary(two).startswith("One lick: 2 pieces of advice. 2 bars, 2 sounds. Chord changes")


@given(tunes())
def test_any_report_can_be_shown(text: str) -> None:
    report = check(score_of(text))
    shown = report_text(report, text.split("\n"))
    words = " ".join(shown.split())
    assert shown.count("\n\n") == len(report.findings)
    for finding in report.findings:
        assert finding.found[1:] in words


def test_of_many_findings_the_gravest_are_shown_and_the_others_counted() -> None:
    report = check(score_of(SHUFFLE))
    advice = [Finding(Severity.ADVICE, "x", f"advice {n}", "y") for n in range(MAX_SHOWN)]
    errors = [Finding(Severity.ERROR, "x", f"error {n}", "y") for n in range(3)]
    text = report_text(replace(report, findings=(*advice, *errors)))
    shown = re.findall(r"(Advice|Error) (\d+)\.", text)
    assert [number for word, number in shown if word == "Error"] == ["0", "1", "2"]
    assert [int(number) for word, number in shown if word == "Advice"] == list(range(MAX_SHOWN - 3))
    assert "\n\n3 more are not shown here: mend these first.\n\n" in text
    assert "more are not shown" not in report_text(replace(report, findings=tuple(advice)))
