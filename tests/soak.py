"""``python -m tests.soak``: the fuzz of the suite, for as long as one likes.

Every ``tests/soak_*.py`` offers functions named ``soak_...`` that take a ``random.Random``, try one
random case with it and raise when something is wrong. They take turns until the minutes are over.
Each round has a seed of its own: the failing one is printed and can be run alone with
``python -m tests.soak --only NAME --seed SEED --rounds 1``.
"""

import argparse
import importlib
import random
import sys
import time
import traceback
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from itertools import count, cycle, takewhile
from pathlib import Path

Soak = Callable[[random.Random], None]

_SECONDS_PER_MINUTE = 60.0


@dataclass(frozen=True, slots=True)
class Failure:
    """A round that raised: enough to run it again."""

    name: str
    seed: int
    trace: str


def discover(folder: Path) -> dict[str, Soak]:
    """The ``soak_...`` functions of all ``soak_*.py`` in the folder of this package, by name."""
    found: dict[str, Soak] = {}
    for path in sorted(folder.glob("soak_*.py")):
        module = importlib.import_module(f"tests.{path.stem}")
        found |= {name: value for name, value in vars(module).items() if name.startswith("soak_")}
    return found


def run_rounds(
    soaks: Mapping[str, Soak], seeds: Iterable[int], keep_going: Callable[[], bool]
) -> tuple[int, Failure | None]:
    """Take turns, one seed a round, until a failure, the last seed or the end of the time."""
    done = 0
    for seed, (name, soak) in zip(
        takewhile(lambda _: keep_going(), seeds), cycle(soaks.items()), strict=False
    ):
        try:
            soak(random.Random(seed))
        except Exception:  # noqa: BLE001 - any error at all is what we are looking for
            return done, Failure(name, seed, traceback.format_exc())
        done += 1
    return done, None


def main(arguments: list[str]) -> int:
    """Exit 0 when nothing failed, 1 after a failure, 2 when there is nothing to run."""
    options = _options(arguments)
    soaks = discover(Path(__file__).resolve().parent)
    if options.only:
        soaks = {name: soak for name, soak in soaks.items() if name == options.only}
    if not soaks:
        print(f"soak: nothing to run (asked for: {options.only or 'all'})", file=sys.stderr)
        return 2
    ends_s = time.monotonic() + options.minutes * _SECONDS_PER_MINUTE
    first = random.SystemRandom().getrandbits(32) if options.seed is None else options.seed
    seeds = count(first) if options.rounds is None else range(first, first + options.rounds)
    print(f"soak: {', '.join(soaks)}; first seed {first}", flush=True)
    done, failure = run_rounds(soaks, seeds, lambda: time.monotonic() < ends_s)
    if failure is None:
        print(f"soak: {done} rounds, no failure")
        return 0
    print(failure.trace, file=sys.stderr)
    print(f"soak: {failure.name} failed after {done} good rounds; again with:", file=sys.stderr)
    again = f"--only {failure.name} --seed {failure.seed} --rounds 1"
    print(f"  python -m tests.soak {again}", file=sys.stderr)
    return 1


def _options(arguments: list[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.soak", description=__doc__)
    parser.add_argument("--minutes", type=float, default=10.0)
    parser.add_argument("--rounds", type=int, help="stop after so many rounds")
    parser.add_argument("--seed", type=int, help="seed of the first round")
    parser.add_argument("--only", help="one soak function")
    return parser.parse_args(arguments)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
