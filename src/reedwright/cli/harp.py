"""`reedwright harp`: every note of a harp, or the harps for a wanted key."""

from __future__ import annotations

import json
import re
from argparse import Namespace
from dataclasses import replace
from pathlib import Path

from reedwright.cli.codes import FINE
from reedwright.cli.parser import FILES, Parser, UsageError
from reedwright.cli.terminal import Terminal
from reedwright.errors import one_line
from reedwright.files import write_whole
from reedwright.harp.chart import chart_json, chart_text
from reedwright.harp.harp import Harp, harp_named
from reedwright.harp.pitch import KEYS, harp_key, pitch_class, shown
from reedwright.harp.position import (
    POSITIONS,
    harp_key_for,
    mode_of,
    parse_position,
    position_name,
)
from reedwright.harp.temperament import (
    Temperament,
    read_temperament,
    temperament_named,
    temperament_names,
)
from reedwright.harp.tuning import Tuning, read_tuning, tuning_named, tuning_names
from reedwright.tune.load import load_text

DESCRIPTION = """\
Show every note of a harp with its hole, breath and bend: blow notes above the
holes, draw notes below. With --position also the degree of each note in the key
that position gives. With --for, the harps that play in a wanted key."""

EXAMPLES = (
    "reedwright harp C",
    "reedwright harp low D --position 2",
    'reedwright harp A --tuning "natural minor"',
    "reedwright harp C --temperament compromise --a4 442",
    "reedwright harp A --position 2 --svg a-harp.svg",
    "reedwright harp --for E               which harps play in E",
    "reedwright harp --for E --position 2  the chart of the one that does in cross",
)


def arguments(parser: Parser) -> None:
    key = parser.add_argument(
        "key", nargs="*", metavar="KEY", help="the key printed on it: C, Bb, low D, high G"
    )
    wanted = parser.add_argument("--for", dest="wanted", metavar="KEY", help="a key to play in")
    tuning = parser.add_argument(
        "--tuning", metavar="NAME", help=f"{', '.join(tuning_names())}, or a .toml file of yours"
    )
    position = parser.add_argument("--position", metavar="N", help="1 to 12, second, cross")
    temperament = parser.add_argument(
        "--temperament",
        metavar="NAME",
        help=f"{', '.join(temperament_names())}, or a .toml file of yours",
    )
    parser.add_argument("--a4", metavar="HZ", help="reference pitch in hertz (440)")
    svg = parser.add_argument("--svg", metavar="FILE", help="write the chart as a picture")
    parser.add_argument("--json", action="store_true", help="print JSON")
    parser.complete(key, KEYS)
    parser.complete(wanted, KEYS)
    parser.complete(tuning, tuning_names())
    parser.complete(position, [str(number) for number in POSITIONS])
    parser.complete(temperament, temperament_names())
    parser.complete(svg, FILES)


def run(args: Namespace, terminal: Terminal) -> int:
    if bool(args.key) == bool(args.wanted):
        raise UsageError(
            "reedwright harp: name one harp (`reedwright harp C`) or one key to play in "
            "(`reedwright harp --for E`)."
        )
    position = parse_position(args.position) if args.position else None
    if args.wanted and position is None:
        terminal.say(_harps_for(args))
        return FINE
    harp = _harp(args, position)
    if args.svg:
        from reedwright.harp.chart_svg import chart_svg

        write_whole(Path(args.svg), chart_svg(harp, position).encode("utf-8"))
    if args.json:
        text = json.dumps(chart_json(harp, position), indent=2, ensure_ascii=False)
        terminal.data((text + "\n").encode("utf-8"))
    elif args.svg:
        terminal.say(f"{one_line(args.svg)}: the chart of the harp {harp.name}")
    else:
        terminal.say(chart_text(harp, position, terminal.colour, terminal.width).rstrip("\n"))
    return FINE


def _harp(args: Namespace, position: int | None) -> Harp:
    if args.wanted and position is not None:
        label = _tuning(args.tuning or "Richter", "C").label_position
        name = harp_key_for(_key(args.wanted), position, label)
    else:
        name = " ".join(args.key)
    plain = harp_named(name)
    if args.tuning and plain.tuning.name != "Richter":
        harp_named(name, args.tuning)  # says what is wrong with naming the tuning twice
    tuning = _tuning(args.tuning, plain.key) if args.tuning else plain.tuning
    temperament = _temperament(args.temperament or "equal")
    return replace(plain, tuning=tuning, temperament=temperament, a4_hz=_hertz(args.a4))


def _harps_for(args: Namespace) -> str:
    """One line a position: the harp, and the mode its natural notes give there."""
    if args.svg or args.json:
        raise UsageError("reedwright harp: --svg and --json with --for need a --position.")
    key = _key(args.wanted)
    named = args.tuning or "Richter"
    lines = [f"Harps that play in {key}, {_tuning(named, 'C').name} tuning:"]
    for position in POSITIONS:
        label = _tuning(named, "C").label_position
        printed = harp_key_for(key, position, label)
        mode = mode_of(Harp(printed, _tuning(named, printed)), position)
        lines.append(f"  {printed:<3} harp  {position_name(position):<16}  {mode}".rstrip())
    return "\n".join(lines)


def _key(text: str) -> str:
    return harp_key(pitch_class(text))


def _tuning(name: str, key: str) -> Tuning:
    if name.lower().endswith(".toml"):
        return read_tuning(load_text(Path(name)), name)
    return tuning_named(name, key)


def _temperament(name: str) -> Temperament:
    if name.lower().endswith(".toml"):
        return read_temperament(load_text(Path(name)), name)
    return temperament_named(name)


def _hertz(text: str | None) -> float:
    if text is None:
        return 440.0
    if re.fullmatch(r"[0-9]{1,6}(?:\.[0-9]{1,6})?", text) is None:
        raise UsageError(f"reedwright harp: --a4 {shown(text)} is no frequency; write 440 or 442.")
    return float(text)
