"""`reedwright pack`: all sheets of a tune in one folder, made again only when something changed."""

from __future__ import annotations

from argparse import Namespace
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from reedwright.cli.choosing import add_choices
from reedwright.cli.codes import FINE
from reedwright.cli.parser import FILES, FOLDERS, TUNES, Parser, UsageError
from reedwright.cli.progress import Progress
from reedwright.cli.terminal import Terminal
from reedwright.errors import FileError, InputError, one_line

if TYPE_CHECKING:
    from reedwright.pack.choices import Audio, Choices
    from reedwright.pack.pack import Packed

DESCRIPTION = """\
Write everything for a lesson into one folder: the printed sheet, also in large
print, the same for a screen, as MusicXML, MIDI and text, the harp's chart, what
the check found, the tune itself, the band as MIDI, the recordings (audio/), and a
list of it all (pack.json).

Recordings, each at every tempo of the tune: the demonstration with the band,
acoustic and amplified; the band alone; harp left and band right; trading four
bars each; the chord rhythm; a drone on the chord's root; the clicks; and every
lick alone, with the band, and round and round with bars to answer in.

What has not changed is not made again, and a run that was stopped goes on where
it was. Files of yours in that folder are left alone; a sheet you have changed is
kept under another name (sheet.kept.txt)."""

EXAMPLES = (
    "reedwright pack my-tune.reed -o lessons/my-tune",
    "reedwright pack my-tune.reed -o lessons/my-tune --paper letter --tab arrows",
    "reedwright pack my-tune.reed -o lessons/my-tune --audio flac,mp3 --stems",
    "reedwright pack my-tune.reed -o lessons/my-tune --harps C,D --amp club.amp",
    "reedwright pack my-tune.reed -o lessons/my-tune --audio none",
)
_NONE = "none"
_MAX_SEED = 2**31 - 1


def arguments(parser: Parser) -> None:
    tune = parser.add_argument("tune", metavar="TUNE", help="a tune file")
    out = parser.add_argument("-o", "--out", required=True, metavar="DIR", help="the folder")
    parser.complete(tune, TUNES)
    parser.complete(out, FOLDERS)
    add_choices(parser)
    audio = parser.add_argument_group("recordings")
    audio.add_argument(
        "--audio",
        default="mp3",
        metavar="KINDS",
        help="mp3, ogg, opus, flac, wav, with commas between; or none (mp3)",
    )
    audio.add_argument("--tempo", metavar="BPM", help="one tempo only, for sheets too")
    audio.add_argument("--harps", metavar="KEYS", help="the same tab on other harps: C,D")
    audio.add_argument("--stems", action="store_true", help="every part by itself, too")
    audio.add_argument("--band", metavar="STYLE", help="a style of the band's rules")
    audio.add_argument("--seed", default="0", metavar="N", help="another way to play it all (0)")
    amp = audio.add_argument("--amp", metavar="FILE", help="an amp file (`reedwright amp`)")
    font = audio.add_argument(
        "--soundfont", metavar="FILE", help="a SoundFont plays the band; or `installed`"
    )
    parser.complete(amp, FILES)
    parser.complete(font, FILES)


def run(args: Namespace, terminal: Terminal) -> int:
    from reedwright.pack.pack import pack

    path, folder = Path(args.tune), Path(args.out)
    choices = _choices(args)
    try:
        with Progress(terminal) as progress:
            packed = pack(path, folder, choices, progress.step)
    except (InputError, FileError):
        _explain(path)
        raise
    if packed.refused and packed.report is not None:
        from reedwright.cli.faulty import refuse
        from reedwright.cli.source import read_source

        return refuse(packed.report, read_source(args.tune), terminal)
    _tell(packed, folder, terminal)
    return FINE


def _choices(args: Namespace) -> Choices:
    """Errors: UsageError, and those of formats and tempos."""
    from reedwright.pack.choices import Choices
    from reedwright.sheet.options import TabStyle

    return Choices(args.paper, TabStyle(args.tab), _tempo(args.tempo), _audio(args))


def _tempo(text: str | None) -> Fraction | None:
    if text is None:
        return None
    from reedwright.cli.check import tempo_of

    return tempo_of(text, "pack")


def _audio(args: Namespace) -> Audio:
    from reedwright.pack.choices import Audio
    from reedwright.sound.formats import formats_named

    kinds = () if args.audio == _NONE else formats_named(args.audio)
    harps = tuple(name.strip() for name in (args.harps or "").split(",") if name.strip())
    return Audio(
        formats=tuple(kind.value for kind in kinds),
        harps=harps,
        stems=args.stems,
        seed=_seed(args.seed),
        style=args.band or "",
        amp=None if args.amp is None else Path(args.amp),
        soundfont=None if args.soundfont is None else _font(args.soundfont),
    )


def _seed(text: str) -> int:
    if text.isascii() and text.isdigit() and len(text) <= 10 and int(text) <= _MAX_SEED:
        return int(text)
    raise UsageError(f"reedwright pack: --seed: {text[:40]!a} is no number up to {_MAX_SEED}.")


def _font(text: str) -> Path:
    if text != "installed":
        return Path(text)
    from reedwright.band.soundfont import font_path

    return font_path(text)


def _explain(path: Path) -> None:
    """Say more of what is wrong with a tune than its own room can. Errors: always those."""
    from reedwright.cli.check import report_of
    from reedwright.cli.source import read_source

    report_of(read_source(str(path)), None)  # shows the faults beside their lines


def _tell(packed: Packed, folder: Path, terminal: Terminal) -> None:
    """What was done, and where to look."""
    title = terminal.style(packed.title, "bold")
    where, sheet = one_line(str(folder)), one_line(str(folder / "sheet.pdf"))
    if packed.moved is None:
        terminal.say(f"{title}: nothing has changed, {where} is up to date.")
        return
    count = len(packed.files)
    terminal.say(f"{title}: {count} files in {where}; print {sheet}")
    for name, other in packed.moved.kept:
        terminal.say(f"  {name} was not as we left it; your copy is now {other}")
    for remark in packed.remarks:
        terminal.say(f"  {one_line(remark)}")
    for name in packed.moved.gone:
        terminal.say(f"  {name} is not needed any more and is gone")
