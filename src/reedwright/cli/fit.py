"""`reedwright fit`: which harp, position and tab for a melody."""

from __future__ import annotations

import json
import os
from argparse import Namespace
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from reedwright.cli.codes import FINE
from reedwright.cli.parser import FILES, Parser, UsageError
from reedwright.cli.terminal import Terminal
from reedwright.errors import FileError, one_line
from reedwright.files import read_bytes, write_whole
from reedwright.harp.pitch import KEYS
from reedwright.harp.position import POSITIONS, parse_position
from reedwright.harp.tuning import tuning_names
from reedwright.tune.load import SUFFIX

if TYPE_CHECKING:
    from reedwright.fit.answer import Answer
    from reedwright.fit.reading import Reading
    from reedwright.fit.wishes import Wishes
    from reedwright.harp.harp import Harp

DESCRIPTION = """\
Find the harp, the position and the tab for a melody: a MIDI file, MusicXML
(.musicxml, .xml, .mxl), ABC or a tune file. Every harp, octave and way to play each
note is weighed by a written sum (docs/fit.md); what comes first costs least, exactly,
and can be breathed.

With -o the first choice becomes a tune file, ready to be checked and packed. Several
files, or a book of ABC tunes with --table, give a table of the best harp for each."""

EXAMPLES = (
    "reedwright fit melody.mid",
    "reedwright fit song.musicxml --student improver -o song.reed",
    "reedwright fit song.mxl --harps C,A,D --part 2",
    "reedwright fit my-tune.reed --position 3      another position",
    "reedwright fit book.abc --part 12             the twelfth tune of a book",
    "reedwright fit *.abc --table                  one line for every tune",
)


def arguments(parser: Parser) -> None:
    from reedwright.fit.wishes import TUNINGS
    from reedwright.tune.techniques import ladder

    levels = ladder().levels
    files = parser.add_argument("files", nargs="+", metavar="FILE", help="a melody")
    parser.complete(files, FILES)
    add = parser.add_argument
    harps = add("--harps", metavar="KEYS", help="harps at hand: C,A,low D (every key)")
    tunings = add(
        "--tunings", metavar="NAMES", help=f"tunings to try: {', '.join(TUNINGS)} (all of these)"
    )
    add("--low-high", action="store_true", help="try low and high harps too")
    student = add("--student", metavar="LEVEL", choices=levels, help=", ".join(levels))
    position = add("--position", metavar="N", help="only this position: 1 to 12, second, cross")
    add("--transpose", action="store_true", help="the melody may change its key")
    add("--fold", action="store_true", help="notes out of reach may move by an octave")
    add("--drop", action="store_true", help="notes out of reach may be left out")
    add("--part", metavar="N", help="the part of a score, or the tune of a book")
    add("--tempo", metavar="BPM", help="counted beats a minute (as the file says, or 100)")
    add("--choices", metavar="N", default="3", help="how many choices to show (3)")
    add("--table", action="store_true", help="one line for every melody of every file")
    add("--json", action="store_true", help="print JSON")
    out = add("-o", "--out", metavar="FILE", help="write the first choice as a tune, NAME.reed")
    parser.complete(harps, KEYS)
    parser.complete(tunings, tuning_names())
    parser.complete(student, levels)
    parser.complete(position, [str(number) for number in POSITIONS])
    parser.complete(out, FILES)


def run(args: Namespace, terminal: Terminal) -> int:
    wishes = wishes_of(args)
    part, tempo = _part(args.part), _tempo(args.tempo)
    if args.table or len(args.files) > 1:
        from reedwright.cli.fittable import table

        _refuse_with_table(args)
        return table(args.files, wishes, tempo, terminal)
    if args.out:
        _check_target(Path(args.out))
    answer = answer_of(args.files[0], wishes, part, tempo)
    if args.out:
        _write(answer, Path(args.out))
    if args.json:
        from reedwright.fit.as_json import answer_json

        text = json.dumps(answer_json(answer), indent=2, ensure_ascii=False)
        terminal.data((text + "\n").encode("utf-8"))
    else:
        from reedwright.fit.as_text import answer_lines

        for line in answer_lines(answer, min(terminal.width, 100)):
            terminal.say(terminal.style(line, "bold") if line[:1].isdigit() else line)
        if args.out:
            name = one_line(args.out)
            terminal.say(f"\n{name}: the first choice. Next: reedwright check {name}")
    return FINE


def answer_of(word: str, wishes: Wishes, part: int | None, tempo_bpm: Fraction | None) -> Answer:
    """The answer for one file. Errors: MelodyError, FileError, TuneError."""
    from reedwright.breath.settings import default_lungs
    from reedwright.fit.answer import answered
    from reedwright.fit.effort import effort

    return answered(reading_of(word, part, tempo_bpm), wishes, effort(), default_lungs())


def reading_of(word: str, part: int | None, tempo_bpm: Fraction | None) -> Reading:
    """The melody a file holds. Errors: MelodyError with the file's name, FileError, TuneError."""
    from dataclasses import replace

    from reedwright.fit.melody import MelodyError
    from reedwright.fit.sources import MAX_BYTES, read_melody

    path = Path(word)
    try:
        if path.suffix == SUFFIX:
            from reedwright.cli.source import read_source
            from reedwright.fit.fromtune import reading_of_tune

            reading = reading_of_tune(read_source(word).tune())
        else:
            reading = read_melody(read_bytes(path, MAX_BYTES), path.name, part, tempo_bpm)
    except MelodyError as error:
        raise MelodyError(f"{one_line(word)}: {error}") from None
    if tempo_bpm is None:
        return reading
    return replace(reading, melody=replace(reading.melody, tempo_bpm=tempo_bpm))


def wishes_of(args: Namespace) -> Wishes:
    """What the options allow. Errors: UsageError, HarpError, SettingError."""
    from reedwright.fit.wishes import Wishes
    from reedwright.tune.techniques import ladder

    return Wishes(
        harps=_harps(args),
        abilities=ladder().of_level(args.student) if args.student else None,
        drop=args.drop,
        fold=args.fold,
        transpose=args.transpose,
        position=parse_position(args.position) if args.position else 0,
        choices=_number(args.choices, "--choices"),
    )


def _harps(args: Namespace) -> tuple[Harp, ...]:
    from reedwright.fit.wishes import KEYS as EVERY_KEY
    from reedwright.fit.wishes import TUNINGS, all_harps
    from reedwright.harp.harp import Harp, Variant, harp_named
    from reedwright.harp.tuning import tuning_named

    named = _listed(args.tunings) if args.tunings else []
    if not args.harps:
        variants = tuple(Variant) if args.low_high else (Variant.STANDARD,)
        return all_harps(EVERY_KEY, tuple(named) or TUNINGS, variants)
    owned = [harp_named(name) for name in _listed(args.harps)]
    if args.low_high:
        owned = [Harp(harp.key, harp.tuning, variant) for harp in owned for variant in Variant]
    if named:
        owned = [
            Harp(harp.key, tuning_named(name, harp.key), harp.variant)
            for name in named
            for harp in owned
        ]
    return tuple(dict.fromkeys(owned))


def _listed(text: str) -> list[str]:
    names = [" ".join(name.split()) for name in text.split(",")]
    names = [name for name in names if name]
    if not names:
        raise UsageError("reedwright fit: a list needs at least one name, such as C,A,D.")
    return names


def _part(text: str | None) -> int | None:
    return None if text is None else _number(text, "--part")


def _number(text: str, option: str) -> int:
    if not (text.isascii() and text.isdigit() and 1 <= len(text) <= 5 and int(text) > 0):
        raise UsageError(f"reedwright fit: {option} is a number from 1, such as 2.")
    return int(text)


def _tempo(text: str | None) -> Fraction | None:
    from reedwright.cli.check import tempo_of

    return tempo_of(text, "fit")


def _refuse_with_table(args: Namespace) -> None:
    for option, given in (("-o", args.out), ("--json", args.json), ("--part", args.part)):
        if given:
            raise UsageError(f"reedwright fit: {option} goes with one melody, not with a table.")


def _check_target(path: Path) -> None:
    """Before any work: only a new file is written. Errors: UsageError, FileError."""
    if path.suffix != SUFFIX:
        raise UsageError(f"reedwright fit: a tune's file ends in {SUFFIX}, such as tune{SUFFIX}.")
    if os.path.lexists(path):
        raise FileError(str(path), "there is a file of this name", "choose another name")


def _write(answer: Answer, path: Path) -> None:
    from reedwright.fit.writing import written
    from reedwright.tune.read import read_tune
    from reedwright.tune.write import write_tune

    text = write_tune(written(answer.reading.melody, answer.choices[0].choice))
    read_tune(text, str(path))  # what is written can be read
    _check_target(path)
    write_whole(path, text.encode("utf-8"))
