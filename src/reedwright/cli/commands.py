"""The commands by name: where each lives and what it is for, without importing any of them."""

from __future__ import annotations

from typing import NamedTuple


class Command(NamedTuple):
    """`module` has `arguments(parser)` and `run(args, terminal) -> int`."""

    module: str
    summary: str


COMMANDS = {
    "new": Command("reedwright.cli.new", "start a tune: write a small one that is ready to change"),
    "desk": Command("reedwright.cli.desk", "open the desk: the whole job in a browser"),
    "check": Command("reedwright.cli.check", "say what is wrong with a tune, and the mend"),
    "tidy": Command("reedwright.cli.tidy", "write a tune evenly, without changing its music"),
    "sheet": Command("reedwright.cli.sheet", "write one sheet: PDF, SVG, MusicXML, MIDI or text"),
    "pack": Command("reedwright.cli.pack", "write all sheets and recordings into one folder"),
    "lesson": Command("reedwright.cli.lesson", "take a tune apart: pieces, likenesses, difficulty"),
    "fit": Command("reedwright.cli.fit", "find harp, position and tab for a melody"),
    "move": Command("reedwright.cli.move", "put a tune on another harp or into another position"),
    "play": Command("reedwright.cli.play", "play bars of a tune, or write them as a WAV file"),
    "vary": Command("reedwright.cli.vary", "propose variations of a lick, or another level"),
    "harp": Command("reedwright.cli.harp", "show every note of a harp"),
    "amp": Command("reedwright.cli.amp", "show an amplifier set-up: levels, feedback, safe time"),
    "ladder": Command("reedwright.cli.ladder", "list the techniques, from first to last"),
    "completion": Command("reedwright.cli.completion", "let the shell finish words for you"),
}
