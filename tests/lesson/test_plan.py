"""The plan of a lesson: our order and the teacher's, its times, and findings about its lines."""

import json
from dataclasses import replace
from fractions import Fraction

import pytest

from reedwright.errors import LessonError
from reedwright.lesson.heard import STUDENTS, heard_of
from reedwright.lesson.plan import lesson_plan
from reedwright.lesson.plan_json import plan_json, takes_json
from reedwright.lesson.plan_text import plan_markdown, plan_text
from reedwright.lesson.planfile import read_plan
from reedwright.lesson.planning import Talk
from reedwright.lesson.study import Study, study
from reedwright.lesson.takes import StepKind
from reedwright.sound.recordings import WITHOUT_HARP
from reedwright.tune.findings import Severity
from tests.lesson.recordings import heard
from tests.lesson.scores import lick, score_of
from tests.lesson.taught import DEMOS, demo, many_licks

FERRY = "the-ferry-was-late.reed"
LONG = ("2d 3d 4d 5d", "4d = = .", "5d 4d 3d 2d", "2d = = .")


def two_alike() -> Study:
    """Two licks of two pieces each; the second repeats the first note for note."""
    licks = lick(*LONG) + "\n" + lick(*LONG, name="Again")
    return study(score_of(licks, tempo="Tempo: 60, 90\n"), level="beginner")


def test_our_order_is_hear_learn_join_slow_and_at_tempo() -> None:
    found = lesson_plan(two_alike())
    assert [(step.kind.value, step.lick) for step in found.steps] == [
        ("hear", ""),
        ("learn", "call"),
        ("join", "call"),
        ("learn", "again"),
        ("join", "again"),
        ("slow", ""),
        ("full", ""),
    ]
    assert [int(step.tempo_bpm) for step in found.steps] == [90, 60, 60, 60, 60, 60, 90]
    assert found.findings == ()


def test_what_repeats_gets_less_time() -> None:
    steps = {step.lick: step for step in lesson_plan(two_alike()).steps if step.kind == "learn"}
    first, again = steps["call"], steps["again"]
    assert again.length_s < first.length_s
    assert sum(take.rounds for take in again.takes) < sum(take.rounds for take in first.takes)
    assert {take.least for take in again.takes} == {0}  # known, so it may go
    assert first.takes[0].least == 1


def test_one_tempo_has_no_slow_round() -> None:
    taught = study(score_of(lick("2d 3d 4d .")))
    assert [step.kind.value for step in lesson_plan(taught).steps] == ["hear", "learn", "full"]


def test_the_teachers_order_holds() -> None:
    text = "band Call, at 75, twice\nlearn Call, piece 2\nhear Again, slow\nlearn Again, piece 1"
    found = lesson_plan(two_alike(), read_plan(text))
    assert [(step.kind.value, step.lick, int(step.tempo_bpm)) for step in found.steps] == [
        ("slow", "call", 75),
        ("learn", "call", 60),
        ("hear", "again", 60),
        ("learn", "again", 60),
    ]
    assert found.steps[0].takes[0].rounds == 2
    pieces = two_alike().pieces_of("call")
    assert found.steps[1].piece_ids == (pieces[1].piece.id,)
    assert found.steps[1].title == "Learn Call, piece 2"


def test_each_lick_goes_lick_by_lick() -> None:
    found = lesson_plan(two_alike(), read_plan("learn each lick\nhear the tune\njoin each lick"))
    assert [(step.kind.value, step.lick) for step in found.steps] == [
        ("learn", "call"),
        ("learn", "again"),
        ("hear", ""),
        ("join", "call"),
        ("join", "again"),
    ]


def test_playing_lasts_as_long_as_the_recordings() -> None:
    taught = demo(FERRY)
    recordings = heard(taught.score)
    by_path = {one.path: one for one in recordings}
    found = lesson_plan(taught, heard=recordings)
    for step in found.steps:
        assert step.paths
        timed = by_path[step.paths[0]]
        assert timed.tempo_bpm == step.tempo_bpm
        for take in step.takes:
            assert not take.guessed
            if step.kind is not StepKind.LEARN:
                assert take.play_s == timed.samples / 48_000
                continue
            piece = next(one.piece for one in taught.pieces if one.piece.id == take.piece_ids[0])
            beat_s = 60 / float(step.tempo_bpm)
            assert take.play_s == pytest.approx(timed.count_in_s + float(piece.beats) * beat_s)
            assert take.turn_s == take.play_s
    assert found.length_s == pytest.approx(sum(take.length_s for take in found.takes))


def test_a_longer_file_makes_a_longer_take() -> None:
    taught = demo(FERRY)
    longer = [replace(one, samples=one.samples + 480_000) for one in heard(taught.score)]
    before = lesson_plan(taught, heard=heard(taught.score)).steps[0]
    assert lesson_plan(taught, heard=longer).steps[0].length_s == pytest.approx(
        before.length_s + 10
    )


def test_speaking_time_comes_from_the_words() -> None:
    taught = two_alike()
    first = taught.pieces[0].piece.id
    talk = Talk({first: ["Four words are here.", "And three more."]})
    take = lesson_plan(taught, read_plan("learn Call, piece 1"), (), talk).takes[0]
    assert take.words == 7
    assert take.talk_s == pytest.approx(7 * 0.42 + 2 * 0.6)
    assert take.length_s == pytest.approx(
        take.ready_s + take.talk_s + take.rounds * (take.play_s + take.turn_s)
    )


def test_recordings_of_another_harp_and_parts_of_a_mix_are_not_used() -> None:
    taught = demo(FERRY)
    other = [replace(one, harp_name="low D") for one in heard(taught.score)]
    parts = [replace(one, part="harp") for one in heard(taught.score)]
    assert all(take.guessed for take in lesson_plan(taught, heard=[*other, *parts]).takes)


def test_lines_the_tune_has_nothing_for_are_findings() -> None:
    licks = lick(*LONG) + "\n" + lick(". . . .", name="Hush")
    taught = study(score_of(licks, "1 Call\n5 Hush"), level="beginner")
    text = "hear Cal\nhear Hush\nlearn Call, pieces 2 to 9\nlearn Call, piece 8\nhear Zzzz"
    found = lesson_plan(taught, read_plan(text))
    assert [step.title for step in found.steps] == ["Learn Call, piece 2"]
    assert [(one.found, one.mend) for one in found.findings] == [
        (
            "`hear Cal` in line 1: the tune has no such lick, and the line is left aside",
            "did you mean Call?",
        ),
        ("`hear Hush` in line 2: nothing of this lick sounds", "place it, or drop the line"),
        ("`learn Call, pieces 2 to 9` in line 3: Call has 2 pieces", "name pieces it has"),
        ("`learn Call, piece 8` in line 4: Call has 2 pieces", "name pieces it has"),
        (
            "`hear Zzzz` in line 5: the tune has no such lick, and the line is left aside",
            "name a lick of the tune, or drop the line",
        ),
    ]
    assert {one.severity for one in found.findings} == {Severity.WARNING}


def test_a_tempo_without_a_recording_is_advice_and_told_once() -> None:
    taught = demo(FERRY)
    found = lesson_plan(taught, read_plan("hear each lick, at 77"), heard(taught.score))
    (finding,) = found.findings
    assert finding.severity is Severity.ADVICE
    assert finding.found == "`hear each lick, at 77`: no recording for it at 77 beats a minute"
    assert all(take.guessed for take in found.takes)


def test_a_repeated_line_has_takes_of_its_own() -> None:
    found = lesson_plan(two_alike(), read_plan("hear the tune\nhear the tune\nhear the tune"))
    assert [take.id for take in found.takes] == ["hear@90", "hear@90#2", "hear@90#3"]


@pytest.mark.parametrize("name", DEMOS)
def test_the_plain_values_add_up(name: str) -> None:
    found = lesson_plan(demo(name), heard=heard(demo(name).score), wished_s=600)
    values, takes = json.loads(json.dumps(plan_json(found))), takes_json(found)
    lengths = {take["id"]: take["length_s"] for take in takes}
    assert len(lengths) == len(takes)
    for step in values["steps"]:
        assert step["length_s"] == pytest.approx(sum(lengths[i] for i in step["takes"]), abs=0.01)
    assert values["length_s"] == pytest.approx(sum(lengths.values()), abs=0.1)
    saved = sum(cut["saves_s"] for cut in values["cuts"])
    assert values["shortened_s"] == pytest.approx(values["length_s"] - saved, abs=0.1)
    learned = {i for step in values["steps"] if step["kind"] == "learn" for i in step["pieces"]}
    assert learned == {one.piece.id for one in demo(name).pieces}


def test_words_for_people() -> None:
    taught = study(score_of(lick("2d 3d 4d .")))
    assert plan_text(lesson_plan(taught, wished_s=36)) == (
        "1. Hear the tune at 60 (20 s)\n"
        "   talk 9 s, play once, about 8 s\n"
        "2. Learn Call at 60 (25 s)\n"
        "   talk 8 s, play once, about 7 s, leave 7 s for the student\n"
        "3. The tune with the band, at tempo at 60 (18 s)\n"
        "   talk 7 s, play once, about 8 s\n"
        "\n"
        "1 min 3 s in all.\n"
        "That is 27 s more than the 36 s you want.\n"
        "Least is lost if you\n"
        "  leave out: Hear the tune at 60 (saves 20 s)\n"
        "That leaves 43 s, still 7 s too long: give it more time, or make two lessons of it.\n"
        "Where it says about there is no recording yet, and the time is counted from the beats.\n"
    )


def test_markdown_of_names_is_told_as_it_is() -> None:
    taught = study(score_of(lick("2d 3d 4d .", name="A *b*")))
    said = plan_markdown(lesson_plan(taught))
    assert "Learn A \\*b\\* at 60" in said


def test_nothing_to_teach() -> None:
    found = lesson_plan(study(score_of(lick(". . . ."))), wished_s=60)
    assert (found.steps, found.length_s, found.cuts) == ((), 0, ())
    assert plan_text(found) == "There is nothing to teach in this tune yet.\n"
    assert plan_markdown(found).endswith("There is nothing to teach in this tune yet.\n")


def test_three_hundred_licks() -> None:
    found = lesson_plan(many_licks(300), wished_s=3600)
    assert sum(step.kind is StepKind.LEARN for step in found.steps) == 300
    assert found.cuts


def test_a_manifest_is_heard() -> None:
    taught = demo(FERRY)
    harp = taught.score.tune.harp.as_json()
    made = {
        "title": "T", "kind": "loop", "tempo_bpm": "133/2", "harp": harp,
        "lick": "call", "part": "", "first_bar": 0, "bars": 2, "loops": True, "rounds": 3,
        "samples": 144_000, "count_in_s": 0.0, "tune_offset_s": -2.5, "seed": 4, "human": 0.5,
    }  # fmt: skip
    one = heard_of("audio/x.mp3", made)
    assert (one.tempo_bpm, one.harp_name) == (Fraction(133, 2), taught.score.tune.harp.name)
    assert (one.length_s, one.round_s, one.counted, one.seed) == (3.0, 1.0, False, 4)
    faults: list[dict[str, object]] = [
        {"samples": "many"},
        {"samples": -1},
        {"rounds": 0},
        {"tempo_bpm": "1/0"},
        {"harp": []},
        {"count_in_s": float("nan")},
    ]
    for fault in faults:
        with pytest.raises(LessonError, match="make the pack again"):
            heard_of("audio/x.mp3", made | fault)
    del made["bars"]
    with pytest.raises(LessonError, match="no bars"):
        heard_of("audio/x.mp3", made)


def test_kinds_without_a_harp_are_those_of_the_sound_room() -> None:
    assert {kind.value for kind in WITHOUT_HARP} == STUDENTS
