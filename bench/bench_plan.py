"""Plan, take list and captions: a 12-bar tune with its script, and how time grows with length.

Gates: 20 ms for script, plan and the captions of one recording of a 12-bar tune that is taken
apart already; ten times the bars in at most 15 times the time (10 is linear; 1.5 leaves room for
caches and the collector). Ours, but for the 20 ms, which the lesson as a whole is given.
"""

from fractions import Fraction
from pathlib import Path

from bench.bench_lesson import licks_of
from bench.row import Gate, Row, median_ms
from reedwright.lesson.captions import Captioner
from reedwright.lesson.captiontext import Manner, key_hints
from reedwright.lesson.heard import Heard
from reedwright.lesson.plan import lesson_plan
from reedwright.lesson.plan_json import plan_json, takes_json
from reedwright.lesson.plan_text import plan_markdown
from reedwright.lesson.planning import Talk
from reedwright.lesson.script import script_markdown
from reedwright.lesson.srt import srt
from reedwright.lesson.study import Study, study
from reedwright.lesson.vtt import webvtt
from reedwright.lesson.words.speech import TuneWords, tune_words
from reedwright.performance.perform import perform
from reedwright.tune.load import load_tune
from reedwright.tune.place import Score, place

_TUNE = Path(__file__).resolve().parent.parent / "demo" / "the-ferry-was-late.reed"
_TWELVE_MS, _LINEAR = 20.0, 15.0
_WISHED_S = 600.0


def recording(score: Score) -> Heard:
    """The demonstration at full tempo, without any sound made."""
    tempo_bpm: Fraction = score.tune.full_tempo_bpm
    performance = perform(score, tempo_bpm)
    return Heard(
        path="audio/demo.mp3",
        kind="demo",
        title="Bench",
        tempo_bpm=tempo_bpm,
        harp_name=score.tune.harp.name,
        lick="",
        part="",
        first_bar=0,
        bars=score.bars,
        loops=False,
        rounds=1,
        samples=round(48_000 * (performance.length_s + 3)),
        rate_hz=48_000,
        count_in_s=performance.seconds(performance.count_in_beats),
        tune_offset_s=0.0,
    )


def captioned(score: Score, heard: Heard, words: TuneWords) -> int:
    """Both files of captions; how long they are."""
    cues = Captioner(score, Manner(hints=key_hints(words))).cues(heard)
    return len(webvtt(cues, heard.title)) + len(srt(cues))


def planned(taught: Study, heard: Heard, words: TuneWords) -> str:
    """Plan and take list as values and as text."""
    plan = lesson_plan(taught, heard=[heard], talk=Talk(words.texts()), wished_s=_WISHED_S)
    plan_json(plan), takes_json(plan)
    return plan_markdown(plan)


def lesson(taught: Study, heard: Heard) -> int:
    """Words, plan, script and captions."""
    words = tune_words(taught)
    script = script_markdown(taught, words, planned(taught, heard, words))
    return len(script) + captioned(taught.score, heard, words)


def run() -> list[Row]:
    """All rows."""
    twelve = study(place(load_tune(_TUNE)))
    heard = recording(twelve.score)
    return [
        Row(
            "plan: words, script, plan and one recording's captions, 12 bars, warm",
            median_ms(lambda: lesson(twelve, heard), rounds=50, warm_up=5),
            Gate.AT_MOST,
            _TWELVE_MS,
        ),
        *_growth(licks_of(500), licks_of(5_000)),
    ]


def _growth(short: Score, long: Score) -> list[Row]:
    made = []
    for score in (long, short):
        taught = study(score)
        made.append((taught, recording(score), tune_words(taught)))
    (many, many_heard, many_words), (few, few_heard, few_words) = made
    return [
        Row(
            "plan: 10,000 bars, plan and take list",
            median_ms(lambda: planned(many, many_heard, many_words), rounds=3, warm_up=1),
            Gate.RATIO_AT_MOST,
            _LINEAR,
            baseline=median_ms(lambda: planned(few, few_heard, few_words), rounds=5, warm_up=1),
            baseline_what="1,000 bars",
        ),
        Row(
            "captions: 10,000 bars, WebVTT and SRT",
            median_ms(lambda: captioned(long, many_heard, many_words), rounds=3, warm_up=1),
            Gate.RATIO_AT_MOST,
            _LINEAR,
            baseline=median_ms(lambda: captioned(short, few_heard, few_words), rounds=5, warm_up=1),
            baseline_what="1,000 bars",
        ),
    ]
