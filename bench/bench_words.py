"""The words of a lesson: what is said of a 12-bar tune with its script, and growth with length.

Gates: 8 ms of the 20 ms that words, plan and captions of a 12-bar tune may take, the taking apart
not counted (see bench_lesson); ten times the bars in at most 15 times the time (10 is linear; 1.5
leaves room for caches and the collector). All are our own.
"""

from pathlib import Path

from bench.bench_lesson import licks_of, one_lick
from bench.row import Gate, Row, median_ms
from reedwright.lesson.script import script_markdown
from reedwright.lesson.study import Study, study
from reedwright.lesson.words.speech import tune_words
from reedwright.tune.load import load_tune
from reedwright.tune.place import place

_TUNE = Path(__file__).resolve().parent.parent / "demo" / "the-ferry-was-late.reed"
_TWELVE_MS, _LINEAR = 8.0, 15.0


def run() -> list[Row]:
    """All rows of the words."""
    twelve = study(place(load_tune(_TUNE)))
    return [
        Row(
            "lesson: words and script of 12 bars, warm",
            median_ms(lambda: script_markdown(twelve, tune_words(twelve)), rounds=100, warm_up=10),
            Gate.AT_MOST,
            _TWELVE_MS,
        ),
        _growth("one lick", study(one_lick(1_000)), study(one_lick(10_000))),
        _growth("licks of two bars", study(licks_of(500)), study(licks_of(5_000))),
    ]


def _growth(what: str, short: Study, long: Study) -> Row:
    return Row(
        f"lesson: words of 10,000 bars, {what}",
        median_ms(lambda: tune_words(long), rounds=3, warm_up=1),
        Gate.RATIO_AT_MOST,
        _LINEAR,
        baseline=median_ms(lambda: tune_words(short), rounds=5, warm_up=1),
        baseline_what="1,000 bars",
    )
