"""The child process that reads a melody somebody brought: such a file is never decoded in ours.

Run as a program. Its input is the length of a request (8 bytes, big-endian), the request (JSON, see
`Wanted`) and the file's bytes; its output one JSON object, `{fit}`, `{text, title}` or `{error}`.
Before it looks at the file it has loaded all it needs (a small melody of each kind is fitted for
that) and gives up the right to open files and sockets, and all but a measured share of memory and
time. Systems without such limits go without.
"""

from __future__ import annotations

import json
import sys
from dataclasses import asdict, dataclass
from fractions import Fraction
from typing import Any

from reedwright.band.soundfontworker import limit
from reedwright.breath.settings import default_lungs
from reedwright.desk.faults import WRONG, of_room, problem_json, refused
from reedwright.errors import ReedwrightError
from reedwright.fit.answer import Answer, answered
from reedwright.fit.as_json import answer_json
from reedwright.fit.effort import effort
from reedwright.fit.fromtune import reading_of_tune
from reedwright.fit.reading import Reading
from reedwright.fit.sources import read_melody
from reedwright.fit.wishes import Wishes, all_harps
from reedwright.fit.writing import written
from reedwright.harp.harp import harp_named
from reedwright.harp.position import parse_position
from reedwright.tune.form import form_names
from reedwright.tune.headervalues import parse_tempos
from reedwright.tune.load import SUFFIX, decoded
from reedwright.tune.read import read_tune
from reedwright.tune.techniques import ladder
from reedwright.tune.write import write_tune

MEMORY_BYTES = 2_000_000_000
"""Address space: an MXL unpacked, its tree, and the libraries loaded before (measured: 0.9 GB)."""

SECONDS = 30
"""Processor time; 32 bars on 84 harps take 0.1 s (bench/bench_fit.py)."""

_ABC = b"X:1\nT:Warm\nM:4/4\nL:1/4\nK:G\nGABG|GABG|\n"
_TUNE = "Title: Warm\nHarp: C\nPosition: first\n\nLick One\n1: 4b 4d 5b 5d\n"


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is asked of a melody, as words: empty for what is not said. `choice`: which choice (from
    1) is wanted as a tune, 0 for all of them as JSON."""

    name: str
    harps: str = ""
    position: str = ""
    student: str = ""
    part: str = ""
    tempo: str = ""
    transpose: bool = False
    fold: bool = False
    drop: bool = False
    choice: int = 0

    def encoded(self) -> bytes:
        words = json.dumps(asdict(self)).encode()
        return len(words).to_bytes(8, "big") + words


def answer_of(wanted: Wanted, data: bytes) -> dict[str, Any]:
    """What the child answers. Errors: those of melodies, harps and settings."""
    wishes, part, tempo = wishes_of(wanted), _part(wanted.part), _tempo(wanted.tempo)
    reading = _reading(wanted.name, data, part, tempo)
    answer = answered(reading, wishes, effort(), default_lungs())
    if not wanted.choice:
        return {"fit": answer_json(answer)}
    return {"text": _tune_of(answer, wanted.choice), "title": answer.reading.melody.title}


def _tune_of(answer: Answer, choice: int) -> str:
    if not 1 <= choice <= len(answer.choices):
        rule = f"There are choices 1 to {len(answer.choices)}"
        raise refused(WRONG, f"no choice {choice}", rule, "take one of them")
    text = write_tune(written(answer.reading.melody, answer.choices[choice - 1].choice))
    read_tune(text)  # what is written can be read
    return text


def _reading(name: str, data: bytes, part: int | None, tempo: Fraction | None) -> Reading:
    from dataclasses import replace

    if name.lower().endswith(SUFFIX):
        reading = reading_of_tune(read_tune(decoded(data, name), name))
    else:
        reading = read_melody(data, name, part, tempo)
    if tempo is None:
        return reading
    return replace(reading, melody=replace(reading.melody, tempo_bpm=tempo))


def wishes_of(wanted: Wanted) -> Wishes:
    """Errors: DeskError, HarpError, SettingError."""
    names = [" ".join(name.split()) for name in wanted.harps.split(",") if name.strip()]
    levels = ladder().levels
    if wanted.student and wanted.student not in levels:
        raise refused(WRONG, "a level nobody knows", f"Levels are {', '.join(levels)}", "take one")
    return Wishes(
        harps=tuple(dict.fromkeys(harp_named(name) for name in names)) or all_harps(),
        abilities=ladder().of_level(wanted.student) if wanted.student else None,
        drop=wanted.drop,
        fold=wanted.fold,
        transpose=wanted.transpose,
        position=parse_position(wanted.position) if wanted.position.strip() else 0,
    )


def _part(text: str) -> int | None:
    plain = text.strip()
    if not plain:
        return None
    if plain.isascii() and plain.isdigit() and len(plain) <= 5 and int(plain) > 0:
        return int(plain)
    raise refused(WRONG, "a part that is no number", "A part is a number from 1", "write 2")


def _tempo(text: str) -> Fraction | None:
    tempos = parse_tempos(text) if text.strip() else ()
    if len(tempos) > 1:
        raise refused(WRONG, "several tempos", "A tempo is one number", "write 80")
    return tempos[0] if tempos else None


def _midi() -> bytes:
    """A melody of four notes as a MIDI file, by hand (Standard MIDI Files 1.0)."""
    notes = b"".join(b"\x00\x90%c\x40\x60\x80%c\x40" % (key, key) for key in (67, 69, 71, 67))
    track = notes + b"\x00\xff\x2f\x00"
    head = b"MThd\x00\x00\x00\x06\x00\x00\x00\x01\x00\x60"
    return head + b"MTrk" + len(track).to_bytes(4, "big") + track


_XML = (
    b'<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>A</part-name>'
    b'</score-part></part-list><part id="P1"><measure number="1"><attributes><divisions>1'
    b"</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>"
    + b"<note><pitch><step>G</step><octave>4</octave></pitch><duration>1</duration></note>" * 4
    + b"</measure></part></score-partwise>"
)


def warm() -> None:
    """Load everything that reading and fitting load when they are first asked."""
    form_names()  # a melody with chords becomes a tune with a form
    for name, data in (
        ("warm.abc", _ABC),
        ("warm.mid", _midi()),
        ("warm.xml", _XML),
        (f"warm{SUFFIX}", _TUNE.encode()),
    ):
        answer_of(Wanted(name, harps="C,G", student="steady", choice=1), data)


def main() -> int:
    """One request."""
    warm()
    size = int.from_bytes(sys.stdin.buffer.read(8), "big")
    wanted = Wanted(**json.loads(sys.stdin.buffer.read(size)))
    limit(MEMORY_BYTES, SECONDS)
    data = sys.stdin.buffer.read()
    try:
        told = answer_of(wanted, data)
    except ReedwrightError as error:
        refusal = of_room(error)
        told = {"error": problem_json(refusal.problem), "status": refusal.status}
    except (MemoryError, RecursionError):
        problem = refused(WRONG, "a file too deep or too big to read", "", "take a smaller one")
        told = {"error": problem_json(problem.problem), "status": WRONG}
    sys.stdout.buffer.write(json.dumps(told, ensure_ascii=False).encode("utf-8"))
    sys.stdout.buffer.flush()
    return 0


if __name__ == "__main__":
    sys.exit(main())
