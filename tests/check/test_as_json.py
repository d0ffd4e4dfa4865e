"""The report as JSON: schema `reedwright.check/1`."""

import json

from hypothesis import given

from reedwright.check.as_json import report_json
from reedwright.check.check import check
from tests.check.tunes import lick, score_of, tunes


def test_one_event_and_one_finding_in_full() -> None:
    score = lick(". 1+2+3d =&. .", Form="IV7", Tempo="60, 92.5", Harp="A")
    report = report_json(check(score))
    assert list(report) == [
        *("schema", "title", "harp", "position", "key", "bars", "tempos_bpm"),
        *("events", "findings"),
    ]
    head = {name: report[name] for name in list(report)[:7]}
    assert head == {
        "schema": "reedwright.check/1",
        "title": "One lick",
        "harp": {
            "key": "A",
            "variant": "standard",
            "tuning": "Richter",
            "a4_hz": 440.0,
            "temperament": "equal",
        },
        "position": 2,
        "key": "E",
        "bars": 1,
        "tempos_bpm": [60, 92.5],
    }
    assert report["events"] == [
        {
            "id": "only:1.2.1@1.1",
            "chorus": 1,
            "lick": "Only",
            "bar": 1,
            "beat": 2.0,
            "beat_exact": "2",
            "length_beats": 1.5,
            "length_exact": "3/2",
            "tab": ["1d", "2d", "3d"],
            "shake": False,
            "marks": [],
            "playable": True,
            "chord": "A7",
            "landing": False,
            "passing": False,
            "midi": [59, 64, 68],
            "degree": ["5", "1", "3"],
            "chord_degree": ["2", "5", "7"],
            "role": ["ninth", "fifth", "outside"],
            "why": [
                "the ninth over A7",
                "the fifth of A7",
                "outside A7, the major seventh above its root",
            ],
            "cup": "open",
            "loudness": "medium",
            "line": 8,
            "column": 6,
        }
    ]
    assert report["findings"] == [
        {
            "severity": "advice",
            "check": "harmony",
            "found": "1+2+3d over A7 (IV7): its 3d is the major seventh, outside the chord",
            "mend": "the blow chord fits here: 1+2+3b",
            "id": "only:1.2.1@1.1",
            "chorus": 1,
            "lick": "Only",
            "bar": 1,
            "beat": 2.0,
            "beat_exact": "2",
            "line": 8,
            "column": 6,
        }
    ]


def test_marks_and_shakes() -> None:
    first, second = report_json(check(lick("//3d 4x5d@3w@2! . .")))["events"]
    assert first["marks"] == [{"mark": "dip in", "amount": 2.0}]
    assert (second["shake"], second["tab"]) == (True, ["4d", "5d"])
    assert second["marks"] == [{"mark": "hand wah", "amount": 2.0}, {"mark": "accent", "amount": 0}]


def test_a_reed_that_does_not_exist_holds_null_and_a_tune_without_a_form_no_chord() -> None:
    missing, plain = report_json(check(lick("4d'' 4d . .")))["events"]
    assert (missing["playable"], missing["midi"], missing["degree"]) == (False, [None], [None])
    assert (plain["chord"], plain["chord_degree"], plain["degree"]) == (None, [None], ["5"])


def test_tab_is_in_letters_in_a_file_with_signs() -> None:
    events = report_json(check(lick("-3'' 1,2 . .", Tab="signed")))["events"]
    assert [event["tab"] for event in events] == [["3d''"], ["1b", "2b"]]


@given(tunes())
def test_any_report_is_plain_json_with_lists_of_one_length(text: str) -> None:
    report = report_json(check(score_of(text)))
    assert json.loads(json.dumps(report, allow_nan=False)) == report
    for event in report["events"]:
        lengths = {len(event[name]) for name in ("tab", "midi", "degree", "chord_degree", "role")}
        assert lengths == {len(event["why"])}
