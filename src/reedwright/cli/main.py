"""The entry of the console script: the version at once, everything else through `run`.

Convention: this module imports nothing, so that `reedwright --version` costs what Python costs.
Measured in bench/bench_start.py.
"""


def main(words: "list[str] | None" = None) -> int:
    """Run the command line and return its exit code; `words` are those behind `reedwright`."""
    import sys

    if words is None:
        words = sys.argv[1:]
    if words in (["--version"], ["-V"]):
        return _version(sys.stdout)
    try:
        from reedwright.cli.run import run
    except KeyboardInterrupt:  # Ctrl-C before there was anything to stop
        from reedwright.cli.codes import STOPPED

        return STOPPED
    return run(words)


def _version(out: "object") -> int:
    from reedwright import __version__

    try:
        print(f"reedwright {__version__}", file=out, flush=True)  # type: ignore[call-overload]
    except OSError as error:  # nobody is reading, or no room where it goes
        from reedwright.cli.run import unwritten

        return unwritten(error)
    return 0  # codes.FINE, which would be one import more
