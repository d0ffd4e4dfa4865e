"""The breath check of a 12-bar tune at all its tempos, and of a long one: linear in bars?

The gate on the 12-bar tune is a share of the 5 ms that a whole check may take. Linear means that
ten times the bars take about ten times as long; 1.5 leaves room for caches and the collector.
"""

from bench.row import Gate, Row, median_ms
from reedwright.breath.findings import breath_findings
from reedwright.tune.place import Score, place
from reedwright.tune.read import read_tune

_HEAD = "Title: Bench\nHarp: A\nPosition: 2\nFeel: shuffle\nTempo: 60, 80, 104\n\n"
_EASY = "Lick Easy (loud)\n1: 2d 3d'&3d 4d =&4b\n2: 1+2d&1+2b 2d 3d''&2d .\n\n"
_HARD = "Lick Hard (loud)\n1: 1+2+3d 2+3d&1+2d 3d'&3d 2d\n2: 1+2d&1+2d 2d 3d''&2d 2d\n\n"
_SHORT_BARS, _BARS, _LONG_BARS = 12, 1_000, 10_000
_BLOCK = 1_000  # bars in one line of the running order
_LINEAR = 10 * 1.5
_EASY_MS, _TROUBLE = 2.0, 4.0


def score(lick: str, bars: int) -> Score:
    """A tune of one two-bar lick, over and over."""
    name, block = lick.split()[1], min(bars, _BLOCK)
    entries = (f"{first} {name}, {block // 2} times\n" for first in range(1, bars + 1, block))
    return place(read_tune(f"{_HEAD}{lick}Chorus\n{''.join(entries)}", "bench.reed"))


def run() -> list[Row]:
    """Three tempos each: a 12-bar tune without and with trouble, and the growth from 1,000 bars."""
    easy, hard = score(_EASY, _SHORT_BARS), score(_HARD, _SHORT_BARS)
    if breath_findings(easy) or len(breath_findings(hard)) != 3:
        raise AssertionError("the bench tunes should be without trouble, and full at each tempo")
    easy_ms = median_ms(lambda: breath_findings(easy))
    rows = [
        Row("breath, 12 bars at 3 tempos, no trouble", easy_ms, Gate.AT_MOST, _EASY_MS),
        Row(
            "breath, 12 bars at 3 tempos, trouble at each",
            median_ms(lambda: breath_findings(hard)),
            Gate.RATIO_AT_MOST,
            _TROUBLE,
            baseline=easy_ms,
            baseline_what="no trouble",
        ),
    ]
    thousand, many = score(_HARD, _BARS), score(_HARD, _LONG_BARS)
    rows.append(
        Row(
            "breath, 10,000 bars at 3 tempos",
            median_ms(lambda: breath_findings(many), rounds=3, warm_up=1),
            Gate.RATIO_AT_MOST,
            _LINEAR,
            baseline=median_ms(lambda: breath_findings(thousand), rounds=5, warm_up=1),
            baseline_what="1,000 bars",
        )
    )
    return rows
