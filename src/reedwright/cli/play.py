"""`reedwright play`: some bars of a tune at once, through the loudspeaker or into a file."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path
from typing import TYPE_CHECKING

from reedwright.cli.check import report_of, tempo_of
from reedwright.cli.codes import FINE
from reedwright.cli.faulty import refuse
from reedwright.cli.parser import FILES, TUNES, Parser, UsageError
from reedwright.cli.progress import Progress
from reedwright.cli.source import read_source
from reedwright.cli.terminal import Terminal
from reedwright.errors import one_line
from reedwright.files import write_whole

if TYPE_CHECKING:
    from reedwright.sound.signal import Samples
    from reedwright.tune.place import Score

DESCRIPTION = """\
Play bars of a tune: the harp with the band, or without it. Bars count through the
whole tune, from 1; all of it is played when no bars and no lick are named.

Playing needs a sound device and the library miniaudio (pip install miniaudio);
with -o the sound goes into a WAV file instead. Turn the loudspeaker down first."""

EXAMPLES = (
    "reedwright play my-tune.reed",
    "reedwright play my-tune.reed --bars 5-8 --tempo 60",
    "reedwright play my-tune.reed --lick Call --no-band",
    "reedwright play my-tune.reed --amplified -o call.wav",
)


def arguments(parser: Parser) -> None:
    tune = parser.add_argument("tune", metavar="TUNE", help="a tune file, or -")
    where = parser.add_mutually_exclusive_group()
    where.add_argument("--bars", metavar="A-B", help="these bars, or one")
    where.add_argument("--lick", metavar="NAME", help="the bars of a lick")
    parser.add_argument("--tempo", metavar="BPM", help="counted beats a minute (the full tempo)")
    parser.add_argument("--no-band", action="store_true", help="the harp alone")
    parser.add_argument("--amplified", action="store_true", help="the harp through the amplifier")
    out = parser.add_argument("-o", "--out", metavar="FILE", help="a WAV file to write")
    parser.complete(tune, TUNES)
    parser.complete(out, FILES)


def run(args: Namespace, terminal: Terminal) -> int:
    if args.out is not None and not args.out.lower().endswith(".wav"):
        raise UsageError(f"reedwright play: {args.out[:80]!a} must end in .wav.")
    source = read_source(args.tune)
    report = report_of(source, tempo_of(args.tempo, "play"))
    if not report.ok:
        return refuse(report, source, terminal)
    first, bars = _bars(args, report.score)
    if args.out is None:
        _player()  # complain before anything is made
    with Progress(terminal) as progress:
        progress.step(0, 1, "making the sound; the first time takes some seconds of preparing")
        sound, trouble = _sound(args, report.score, first, bars)
    if trouble:
        terminal.complain(one_line(trouble))
    if args.out is None:
        _play(sound)
    else:
        write_whole(Path(args.out), _wav(sound, report.score.tune.title))
        terminal.say(f"{one_line(args.out)}: written, {len(sound) / 48_000:.1f} s")
    return FINE


def _bars(args: Namespace, score: Score) -> tuple[int, int]:
    """First bar (from 0) and how many. Errors: UsageError."""
    if args.lick is not None:
        from reedwright.sound.heard import extents
        from reedwright.tune.values import slug

        found = {each.slug: each for each in extents(score)}
        lick = found.get(slug(args.lick))
        if lick is None:
            names = ", ".join(each.name for each in found.values()) or "none"
            raise UsageError(f"reedwright play: no lick {args.lick[:40]!a}; there are {names}.")
        return lick.first_bar, lick.bars
    if args.bars is None:
        return 0, max(score.bars, 1)
    low, _, high = args.bars.partition("-")
    numbers = [low, high or low]
    if not all(each.isascii() and each.isdigit() and len(each) < 7 for each in numbers):
        raise UsageError("reedwright play: --bars is a bar or two with a - between, like 5-8.")
    first, last = map(int, numbers)
    if not 1 <= first <= last <= max(score.bars, 1):
        raise UsageError(f"reedwright play: --bars lies between 1 and {max(score.bars, 1)}.")
    return first - 1, last - first + 1


def _sound(args: Namespace, score: Score, first: int, bars: int) -> tuple[Samples, str]:
    """The bars, and what is wrong with the store, if anything."""
    from reedwright.amp.read import default_rig
    from reedwright.sound.cache import Store, default_folder
    from reedwright.sound.prepare import prepare
    from reedwright.sound.preview import Wish, bars_sound
    from reedwright.sound.sources import Sources
    from reedwright.sound.take import Manner, Take

    prepare()
    tempo = tempo_of(args.tempo, "play") or score.tune.full_tempo_bpm
    sources = Sources(Take(score, score.tune.harp, tempo, Manner()), default_rig())
    wish = Wish(first, bars, band=not args.no_band, amplified=args.amplified)
    store = Store(default_folder())
    return bars_sound(sources, wish, store), store.trouble


def _wav(sound: Samples, title: str) -> bytes:
    from reedwright.sound.encode import encode
    from reedwright.sound.formats import Format
    from reedwright.sound.tags import Tags

    return encode(sound, Format.WAV, Tags(title))


def _player() -> object:
    """The library that plays. Errors: UsageError where it is not there."""
    try:
        import miniaudio
    except ImportError:
        raise UsageError(
            "reedwright play: playing needs the library miniaudio. "
            "Mend: pip install miniaudio, or write a file with -o NAME.wav."
        ) from None
    return miniaudio


def _play(sound: Samples) -> None:
    """Play and wait for the end. Errors: UsageError where no device takes it."""
    from reedwright.cli.loudspeaker import played

    why = played(sound)
    if why:
        raise UsageError(
            f"reedwright play: no sound device takes it ({one_line(why)}). "
            "Mend: check the loudspeaker, or write a file with -o NAME.wav."
        )
