"""`reedwright desk`: the whole job in a browser, over a folder of tunes."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

from reedwright.cli.codes import FINE
from reedwright.cli.parser import FOLDERS, Parser, UsageError
from reedwright.cli.terminal import Terminal
from reedwright.errors import FileError, one_line

DESCRIPTION = """\
Open the desk: a page in your browser where tunes are written, heard, taken apart for
teaching and packed. The tunes stay plain files in the folder, for git and a text editor
too; every edit is on the disk before the page says so.

The page is served by this computer to itself alone. It needs the libraries starlette,
uvicorn and python-multipart (pip install 'reedwright[desk]'). Ctrl-C stops it."""

EXAMPLES = (
    "reedwright desk                  the tunes of this folder",
    "reedwright desk lessons",
    "reedwright desk lessons --port 8080 --no-browser",
)
_MOST_PORT = 65_535


def arguments(parser: Parser) -> None:
    folder = parser.add_argument(
        "folder", nargs="?", default=".", metavar="FOLDER", help="where the tunes are (here)"
    )
    parser.add_argument("--port", metavar="N", help="the port to serve on (the usual one)")
    parser.add_argument("--no-browser", action="store_true", help="only print the address")
    parser.complete(folder, FOLDERS)


def run(args: Namespace, terminal: Terminal) -> int:
    port = _port(args.port)
    folder = Path(args.folder)
    if not folder.is_dir():
        raise FileError(args.folder, "not a folder", "name a folder for your tunes, or make it")
    try:
        from reedwright.desk.serve import serve
    except ImportError as error:
        raise UsageError(
            f"reedwright desk: the library {error.name} is missing. "
            "Mend: pip install 'reedwright[desk]'."
        ) from None

    def ready(address: str) -> None:
        terminal.say(f"The desk over {one_line(str(folder.resolve()))} is open at")
        terminal.say(f"  {address}")
        terminal.say("Ctrl-C stops it; what is typed is kept.")
        terminal.flush()
        if not args.no_browser:
            _open(address)

    serve(folder, port, ready)
    return FINE


def _port(text: str | None) -> int | None:
    if text is None:
        return None
    if text.isascii() and text.isdigit() and len(text) <= 5 and int(text) <= _MOST_PORT:
        return int(text)
    raise UsageError(f"reedwright desk: --port {text[:40]!a} is no port; write 0 to {_MOST_PORT}.")


def _open(address: str) -> None:
    """Open a browser in its own time; without one the address stands in the terminal."""
    import threading
    import webbrowser

    threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()
