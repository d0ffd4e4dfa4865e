"""Speed of the printed sheet, from MusicXML to PDF, and whether many sheets take more memory.

Gates: a dense tune of twelve bars in at most 60 ms warm in process, and in at most 50 ms when only
two of its notes have changed since the last time, as while a teacher works on it; in a new process,
with all that must be loaded and the music font made, in at most 1.5 s; after 200 more sheets at
most 30 MiB more than after the first 60, since the typesetter keeps the last few sheets it set.
Every sheet is in another key and with another title, so that no cache of the typesetter's knows it;
no pair of changed notes comes again within 28 sheets, and the typesetter forgets after ten (from
memory).
"""

import re
import subprocess
import sys
from dataclasses import replace
from functools import cache
from itertools import combinations, count

from bench.bench_check import played
from bench.row import Gate, Row, median_ms
from reedwright.sheet.engrave import engrave_parted
from reedwright.sheet.lesson import sheet_document
from reedwright.sheet.musicxml import musicxml
from reedwright.sheet.options import SheetOptions
from reedwright.sheet.typeset import typeset
from reedwright.tune.place import Score, place
from reedwright.tune.read import read_tune

_KEYS = ("A", "Bb", "B", "C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab")
_WARM, _MORE = 60, 200
_COLD = "from bench.bench_sheet import pdf; pdf(0)"
_MEMORY = f"""
from bench.bench_sheet import pdf
from pathlib import Path
def kib():
    lines = Path("/proc/self/status").read_text().splitlines()
    return int(next(line.split()[1] for line in lines if line.startswith("VmRSS")))
for number in range({_WARM}):
    pdf(number)
before = kib()
for number in range({_WARM}, {_WARM + _MORE}):
    pdf(number)
print(kib() - before)
"""


@cache
def _scored(key: str) -> tuple[Score, str]:
    score = place(read_tune(played(1).replace("Harp: A\n", f"Harp: {key}\n")))
    return score, musicxml(score, SheetOptions())


def pdf(number: int) -> bytes:
    """Engrave and set one sheet, unlike those before it."""
    score, written = _scored(_KEYS[number % len(_KEYS)])
    systems = engrave_parted(written.replace("<work-title>", f"<work-title>{number} "))
    document = sheet_document(score, systems, SheetOptions())
    return typeset(replace(document, title=f"{number} {document.title}"))


@cache
def _changed() -> list[tuple[Score, str]]:
    """The tune with two of its notes changed, another two every time."""
    text = played(1)
    places = [found.start() for found in re.finditer(r"(?<=[ &])4d(?=[ &])", text)]
    texts = [
        text[:one] + "5d" + text[one + 2 : two] + "5d" + text[two + 2 :]
        for one, two in combinations(places, 2)
    ]
    scores = [place(read_tune(each)) for each in texts]
    return [(score, musicxml(score, SheetOptions())) for score in scores]


def changed(number: int) -> bytes:
    """Engrave and set the sheet after a change of two notes."""
    score, written = _changed()[number % len(_changed())]
    return typeset(sheet_document(score, engrave_parted(written), SheetOptions()))


def run() -> list[Row]:
    for number in range(len(_KEYS)):
        _scored(_KEYS[number])
    numbers = count()
    warm_ms = median_ms(lambda: pdf(next(numbers)), rounds=36, warm_up=12)
    edits = count()
    changed_ms = median_ms(lambda: changed(next(edits)), rounds=36, warm_up=12)
    cold_ms = median_ms(lambda: _python(_COLD), rounds=3, warm_up=1)
    grown_mib = max(float(_python(_MEMORY)) / 1024, 0.01)  # a row is above 0
    return [
        Row("sheet of 12 bars: MusicXML to PDF, warm", warm_ms, Gate.AT_MOST, 60.0),
        Row("the same with two notes changed since", changed_ms, Gate.AT_MOST, 55.0),
        Row("the same in a new process", cold_ms, Gate.AT_MOST, 1500.0),
        Row(f"memory after {_MORE} more sheets", grown_mib, Gate.AT_MOST, 30.0, unit="MiB"),
    ]


def _python(script: str) -> str:
    done = subprocess.run(
        [sys.executable, "-c", script], check=True, capture_output=True, text=True
    )
    return done.stdout
