"""Captions: when each note is reached, how long each stays, what it says, and how it is written."""

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.errors import LessonError
from reedwright.lesson.captions import Captioner, caption_path
from reedwright.lesson.captiontext import Manner, key_hints, tab_in_letters
from reedwright.lesson.cue import MOST_MS, Cue, Run, clock
from reedwright.lesson.heard import Heard
from reedwright.lesson.srt import srt
from reedwright.lesson.study import study
from reedwright.lesson.vtt import webvtt
from reedwright.lesson.words.speech import tune_words
from reedwright.performance.perform import perform
from reedwright.performance.play import play
from reedwright.tune.place import Score
from tests.lesson.recordings import heard, one
from tests.lesson.scores import lick, of_bars, score_of
from tests.lesson.taught import DEMOS, demo
from tests.strategies import placed_tunes, playable_sounds

LANTERN = "lantern-street.reed"


def cues_of(score: Score, recording: Heard, manner: Manner | None = None) -> tuple[Cue, ...]:
    return Captioner(score, manner).cues(recording)


def reached(cue: Cue) -> list[tuple[str, int]]:
    """The notes of a caption and when each is reached; strokes left out."""
    return [
        (run.text.replace("|", "").strip(), cue.start_ms if run.at_ms is None else run.at_ms)
        for run in cue.lines[0]
    ]


def is_count(cue: Cue) -> bool:
    return all(text.isdigit() for text, _ in reached(cue))


def notes_of(cues: tuple[Cue, ...]) -> list[tuple[str, int]]:
    return [note for cue in cues if not is_count(cue) for note in reached(cue)]


@pytest.mark.parametrize("name", DEMOS)
@pytest.mark.parametrize("seed", [0, 7])
def test_every_note_is_reached_when_it_is_played(name: str, seed: int) -> None:
    score = demo(name).score
    for recording in heard(score):
        if recording.kind not in ("demo", "backing", "practice"):
            continue
        played = play(perform(score, recording.tempo_bpm), seed)
        wanted = [
            (tab_in_letters(playing.timed.event.sound), playing.played_s * 1000)
            for playing in played.playings
        ]
        found = notes_of(cues_of(score, replace(recording, seed=seed)))
        assert [tab for tab, _ in found] == [tab for tab, _ in wanted]
        for (_, at_ms), (_, played_ms) in zip(found, wanted, strict=True):
            assert abs(at_ms - played_ms) <= 1


@pytest.mark.parametrize("name", DEMOS)
def test_a_lick_is_timed_from_its_own_bar(name: str) -> None:
    score = demo(name).score
    for recording in heard(score):
        if recording.kind not in ("alone", "band"):
            continue
        played = play(perform(score, recording.tempo_bpm))
        beat_s = 60 / float(recording.tempo_bpm)
        begins_s = recording.first_bar * score.tune.meter.beats * beat_s
        wanted = [
            (playing.played_s - begins_s) * 1000
            for playing in played.playings
            if playing.id in (recording.event_ids or ())
        ]
        found = [at for _, at in notes_of(cues_of(score, recording))]
        assert found == pytest.approx(wanted, abs=1)


def test_the_sounds_of_a_lick_are_found_without_being_named() -> None:
    for name in DEMOS:
        score = demo(name).score
        for recording in heard(score):
            if recording.kind == "alone":
                told = cues_of(score, recording)
                assert cues_of(score, replace(recording, event_ids=None)) == told


def test_every_round_of_a_loop_is_captioned_and_answered() -> None:
    score = score_of(lick("2d 3d 4d .", "5d 4d . ."), tempo="Tempo: 90\n")
    recording = replace(one(score, "loop", "call"), human=0.0)
    assert recording.rounds > 1
    cues = cues_of(score, recording)
    starts = [(cue.start_ms, cue.text.split("\n")[1].partition(":")[0]) for cue in cues]
    firsts = [start for start in starts if start[1] in ("Your turn", "Listen")]
    turns = 2 * recording.rounds
    assert firsts == [
        (round(500 * turn * recording.round_s), "Your turn" if turn % 2 else "Listen")
        for turn in range(1, turns)
    ]
    assert [tab for tab, _ in notes_of(cues)] == ["2d", "3d", "4d", "5d", "4d"] * turns


def test_a_pickup_of_a_loop_stands_at_the_end_of_the_round_before() -> None:
    score = score_of(lick(". . . 2d", "4d 5d . .", first=0), tempo="Tempo: 60\n")
    recording = replace(one(score, "loop", "call"), human=0.0)
    found = notes_of(cues_of(score, recording))
    bar_ms = 4000
    assert recording.bars == 1
    assert found[:5] == [
        ("4d", 0), ("5d", 1000), ("2d", bar_ms - 1000), ("4d", bar_ms), ("5d", bar_ms + 1000),
    ]  # fmt: skip
    assert found[-1] == ("2d", round(1000 * recording.length_s) - 1000)


def test_an_early_first_note_of_a_loop_begins_with_the_file() -> None:
    score = score_of(lick("2d 3d 4d ."), tempo="Tempo: 90\n")
    recording = replace(one(score, "loop", "call"), tune_offset_s=-8 / 3 - 0.01, human=0.0)
    found = notes_of(cues_of(score, recording))
    assert found[0] == ("2d", 0)
    assert found[1][1] == pytest.approx(1000 * (60 / 90 - 0.01), abs=1)


def test_the_count_in_is_counted_up_to_the_pickup() -> None:
    score = score_of(lick(". . .&2d 3d", "4d . . .", first=0), tempo="Tempo: 60\n")
    count, *rest = cues_of(score, replace(one(score, "demo"), human=0.0))
    assert reached(count) == [("1", 0), ("2", 1000), ("3", 2000)]
    assert rest[0].start_ms == count.end_ms


def test_two_bars_are_counted_in_two_captions_and_fast_ones_in_one() -> None:
    bars = lick("2d 3d 4d .")
    slow = score_of(bars, head="Count-in: 2\n", tempo="Tempo: 60\n")
    fast = score_of(bars, head="Count-in: 2\n", tempo="Tempo: 300\n")
    counted = [cue for cue in cues_of(slow, one(slow, "demo")) if is_count(cue)]
    assert [cue.text.partition("\n")[0] for cue in counted] == ["1 2 3 4", "1 2 3 4"]
    counted = [cue for cue in cues_of(fast, one(fast, "demo")) if is_count(cue)]
    assert [cue.text.partition("\n")[0] for cue in counted] == ["1 2 3 4 1 2 3 4"]


def test_a_fast_count_stays_where_a_rest_follows() -> None:
    score = of_bars(". . . .", "2d . . .", tempo="Tempo: 400\n")
    count, note = cues_of(score, replace(one(score, "demo"), human=0.0))
    assert (count.start_ms, count.end_ms) == (0, 1000)
    assert note.start_ms == 1200


def test_a_caption_goes_a_moment_after_its_last_note() -> None:
    score = of_bars("2d . . .", ". . . .", "3d . . .", tempo="Tempo: 60\n")
    recording = replace(one(score, "demo"), human=0.0)
    _, first, second = cues_of(score, recording)
    played = play(perform(score, recording.tempo_bpm), human=0.0)
    ends_ms = 1000 * played.playings[0].played_end_s
    assert (first.start_ms, second.start_ms) == (4000, 12_000)
    assert first.end_ms == pytest.approx(max(ends_ms, 5000) + 500, abs=1)


def test_whose_turn_it_is_when_trading() -> None:
    score = demo(LANTERN).score
    recording = one(score, "trading")
    mine = recording.event_ids or frozenset()
    said = [cue.text for cue in cues_of(score, recording)]
    turns = [f"{text}\n".split("\n")[1].split(" · ")[0].partition(":")[0] for text in said]
    turns = [turn for turn in turns if turn in ("Your turn", "Listen")]
    owners = [event.id in mine for event in score.events]
    changes = [now for before, now in pairwise(owners) if now != before]
    assert turns == ["Listen" if now else "Your turn" for now in changes]


def test_where_no_harp_is_heard_all_is_yours() -> None:
    score = demo(LANTERN).score
    for kind in ("backing", "drone", "click"):
        said = [cue.text for cue in cues_of(score, one(score, kind)) if "Your turn" in cue.text]
        assert len(said) == 1
    assert not any("Your turn" in cue.text for cue in cues_of(score, one(score, "demo")))


def test_bends_are_named_as_the_trade_names_them() -> None:
    score = of_bars("4d' = 3d'' =", tempo="Tempo: 60\n")
    last = cues_of(score, one(score, "demo"))[-1]
    assert last.text == "4d' 3d''\nCall: 4 draw half-step bend, 3 draw\nwhole-step bend"


def test_a_tab_style_of_ones_own() -> None:
    score = of_bars("4d' 3b . .")
    manner = Manner(tab=lambda sound: f"<{sound.notes[0].hole}>\n-->")
    text = webvtt(cues_of(score, one(score, "demo"), manner))
    assert "&lt;4&gt; --&gt;" in text
    assert "\n\n-->" not in text


@pytest.mark.parametrize("name", DEMOS)
def test_captions_can_be_read_in_their_time(name: str) -> None:
    taught = demo(name)
    manner = Manner(hints=key_hints(tune_words(taught)))
    for recording in heard(taught.score):
        if recording.part:
            continue
        for cue in cues_of(taught.score, recording, manner):
            below = ["".join(run.text for run in line) for line in cue.lines[1:]]
            assert all(len(line) <= 42 for line in below)
            assert len(below) <= 2
            length_s = (cue.end_ms - cue.start_ms) / 1000
            label_only = len(below) == 1 and ":" not in below[0] and "," not in below[0]
            assert label_only or len("".join(below)) <= 17 * length_s + 4


def check(cues: tuple[Cue, ...], recording: Heard) -> None:
    """What holds of all captions: in order, apart, in the file, long enough if there is room."""
    ends = [0, *(cue.end_ms for cue in cues)]
    starts = [*(cue.start_ms for cue in cues), round(1000 * recording.length_s)]
    for index, cue in enumerate(cues):
        assert ends[index] <= cue.start_ms < cue.end_ms <= starts[index + 1]
        short = cue.end_ms - cue.start_ms < 1000
        room = cue.end_ms < starts[index + 1] or ends[index] < cue.start_ms
        assert not (short and room)
        moments = [run.at_ms for line in cue.lines for run in line if run.at_ms is not None]
        assert moments == sorted(set(moments))
        assert all(cue.start_ms < moment < cue.end_ms for moment in moments)


@given(placed_tunes(playable_sounds()))
def test_captions_of_any_tune_are_apart_and_stay(score: Score) -> None:
    captioner, kinds = Captioner(score), set()
    for recording in heard(score, score.tune.tempos_bpm[:1]):
        if recording.kind in ("demo", "trading", "alone", "loop", "click"):
            kinds.add(recording.kind)
            check(captioner.cues(recording), recording)
    assert "click" in kinds


def test_all_recordings_once() -> None:
    score = demo(LANTERN).score
    recordings = heard(score)
    doubled = [*recordings, *(replace(r, path=r.path.replace("mp3", "flac")) for r in recordings)]
    parts = [replace(recordings[0], path="audio/stem-harp-72.flac", part="harp")]
    paths = [found.path for found, _ in Captioner(score).each([*doubled, *parts])]
    assert paths == [recording.path for recording in recordings]
    assert caption_path(paths[0], ".srt") == "captions/demo-72.srt"


def test_a_hint_is_told_once_and_at_every_placing() -> None:
    score = score_of(lick("2d 3d 4d ."), "1 Call\n2 Call", tempo="Tempo: 60\n")
    hints = {study(score).pieces[0].piece.id: ("This is far too long to be read " * 9, "Softly.")}
    said = [cue.text for cue in cues_of(score, one(score, "demo"), Manner(hints=hints))]
    assert said == [
        "1 2 3 4\nSoftly.",
        "2d 3d 4d\nCall: 2 draw, 3 draw, 4 draw",
        "2d 3d 4d\nSoftly.",
    ]


def test_names_that_run_from_right_to_left_are_set_apart() -> None:
    score = score_of(lick("2d 3d 4d .", name="Call \u05d0\u05d1"), tempo="Tempo: 60\n")
    text = cues_of(score, one(score, "demo"))[-1].text
    assert "\u2068Call \u05d0\u05d1\u2069" in text
    assert text.count("\u2068") == text.count("\u2069")


def test_a_name_broken_over_two_lines_is_set_apart_on_both() -> None:
    score = score_of(lick("2d 3d 4d ."), tempo="Tempo: 30\n")
    name = "\u2068" + " ".join(["\u05d0\u05d1\u05d2"] * 12) + "\u2069"
    hints = {study(score).pieces[0].piece.id: (f"Like {name} again.",)}
    count = cues_of(score, one(score, "demo"), Manner(hints=hints))[0]
    first, second = count.text.split("\n")[1:]
    for line in (first, second):
        assert (line.count("\u2068"), line.count("\u2069")) == (1, 1)
    assert second.startswith("\u2068")


def test_no_notes_and_one_note() -> None:
    silent, single = of_bars(". . . ."), of_bars("2d . . .")
    assert [cue.text for cue in cues_of(silent, one(silent, "backing"))] == ["1 2 3 4"]
    assert [cue.text.split("\n")[0] for cue in cues_of(single, one(single, "demo"))] == [
        "1 2 3 4",
        "2d",
    ]


def test_a_file_cut_short_is_captioned_to_its_end() -> None:
    score = of_bars("2d 3d 4d 5d", tempo="Tempo: 60\n")
    recording = replace(one(score, "demo"), samples=48_000 * 6 + 100)
    cues = cues_of(score, recording)
    check(cues, recording)
    assert [tab for tab, _ in notes_of(cues)] == ["2d", "3d"]


# The two formats.

ONE = Cue(
    3_723_004,
    3_725_000,
    ((Run("a & b"), Run(" <i>", 3_724_000)), (Run("x --> y {z}"),)),
)


def test_webvtt_in_exact_words() -> None:
    assert webvtt([ONE], "T --> <b>\n\nend") == (
        "WEBVTT\n\nNOTE\nT --&gt; &lt;b&gt; end\n\n1\n01:02:03.004 --> 01:02:05.000\n"
        "a &amp; b<01:02:04.000> &lt;i&gt;\nx --&gt; y {z}\n"
    )
    assert webvtt([]) == "WEBVTT\n"


def test_srt_in_exact_words() -> None:
    assert srt([ONE, Cue(3_725_000, MOST_MS, ONE.lines[1:])]) == (
        "1\n01:02:03,004 --> 01:02:05,000\na & b ‹i›\nx → y (z)\n\n"
        "2\n01:02:05,000 --> 99:59:59,999\nx → y (z)\n"
    )
    assert srt([]) == ""


@given(st.integers(0, MOST_MS))
def test_a_clock_can_be_read_back(moment_ms: int) -> None:
    hours, minutes, seconds = clock(moment_ms, ".").split(":")
    assert (len(hours), len(minutes), len(seconds)) == (2, 2, 6)
    told = (int(hours) * 60 + int(minutes)) * 60_000 + round(float(seconds) * 1000)
    assert told == moment_ms


@pytest.mark.parametrize(("start_ms", "end_ms"), [(-1, 5), (5, 5), (6, 5), (0, MOST_MS + 1)])
def test_a_cue_runs_forward_and_ends_before_100_hours(start_ms: int, end_ms: int) -> None:
    with pytest.raises(LessonError, match="Captions run forward"):
        Cue(start_ms, end_ms, ())


def test_moments_lie_inside_their_cue_and_cues_apart() -> None:
    for at_ms in (0, 100):
        with pytest.raises(LessonError, match="out of order"):
            Cue(0, 100, ((Run("a", at_ms),),))
    with pytest.raises(LessonError, match=r"on top of each other at 00:00:00\.050"):
        srt([Cue(0, 100, ()), Cue(50, 200, ())])
