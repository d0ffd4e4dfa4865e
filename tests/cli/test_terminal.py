"""Colours only where a person watches; any character set; data stays data."""

from __future__ import annotations

import io
import os
import subprocess

import pytest

from reedwright.cli.terminal import Terminal
from tests.cli.runs import SMALL, TIMEOUT_S, command, environment, run

ESCAPE = "\x1b"


class Screen(io.TextIOWrapper):
    """A stream that says it is a terminal."""

    def __init__(self, encoding: str = "utf-8") -> None:
        super().__init__(io.BytesIO(), encoding=encoding)

    def isatty(self) -> bool:
        return True

    def shown(self) -> bytes:
        self.flush()
        buffer = self.buffer
        assert isinstance(buffer, io.BytesIO)
        return buffer.getvalue()


@pytest.mark.parametrize(
    ("environment", "coloured"),
    [
        ({}, True),
        ({"TERM": "xterm"}, True),
        ({"TERM": "dumb"}, False),
        ({"NO_COLOR": "1"}, False),
        ({"NO_COLOR": ""}, True),  # the standard: set and not empty
    ],
)
def test_colour_on_a_terminal(environment: dict[str, str], coloured: bool) -> None:
    terminal = Terminal(Screen(), Screen(), environment)
    assert terminal.colour is coloured
    assert terminal.colour_of_errors is coloured
    assert (ESCAPE in terminal.style("word", "bold")) is coloured


def test_no_colour_into_a_file() -> None:
    terminal = Terminal(io.TextIOWrapper(io.BytesIO()), None, {})
    assert not terminal.colour
    assert terminal.style("word", "bold") == "word"
    assert terminal.width == 80


def test_signs_a_character_set_lacks_are_written_plainly() -> None:
    screen = Screen("ascii")
    terminal = Terminal(screen, screen, {})
    terminal.say("B♭ – 3′ × “a” … ↓4 日 \udce9")
    assert screen.shown() == b'B b - 3\' x "a" ... v4 ? ?\n'.replace(b"B b", b"Bb")


def test_data_is_utf_8_whatever_the_terminal_is() -> None:
    screen = Screen("ascii")
    terminal = Terminal(screen, None, {})
    terminal.say("first")
    terminal.data("♭\n".encode())
    terminal.say("last")
    assert screen.shown() == "first\n♭\nlast\n".encode()


def test_without_streams_nothing_happens() -> None:
    terminal = Terminal(None, None, {})
    terminal.say("x")
    terminal.complain("x")
    terminal.data(b"x")
    terminal.flush()


PLAIN = {"PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0", "LC_ALL": "C"}


@pytest.mark.parametrize("words", [["harp", "Bb"], ["ladder"], ["--help"], ["sheet", "--help"]])
def test_an_ascii_terminal(words: list[str]) -> None:
    done = run(*words, env=PLAIN)
    assert (done.code, done.err) == (0, "")
    assert done.out.isascii()


def test_an_ascii_terminal_and_a_tune_that_is_not() -> None:
    tune = SMALL.replace("Title: Small", "Title: Café ♭ 日本").encode()
    assert run("tidy", "-", stdin=tune, env=PLAIN).out == tune.decode()
    wrong = tune + "1: ♭\n".encode()
    done = run("tidy", "-", stdin=wrong, env=PLAIN)
    assert done.code == 2
    assert "Traceback" not in done.err
    assert done.err.isascii()


def on_a_terminal(*words: str, **extra: str) -> str:
    """What a real pseudo-terminal receives."""
    pty = pytest.importorskip("pty", reason="no pseudo-terminals on this system")
    ours, theirs = pty.openpty()
    env = environment(TERM="xterm") | extra
    process = subprocess.Popen(command(*words), stdout=theirs, stderr=theirs, stdin=theirs, env=env)
    os.close(theirs)
    pieces = []
    while True:
        try:
            piece = os.read(ours, 65536)
        except OSError:  # Linux: the other end is gone
            break
        if not piece:
            break
        pieces.append(piece)
    os.close(ours)
    process.wait(TIMEOUT_S)
    return b"".join(pieces).decode()


def test_a_real_terminal_gets_colour_and_a_pipe_does_not() -> None:
    assert ESCAPE in on_a_terminal("ladder")
    assert ESCAPE not in on_a_terminal("ladder", NO_COLOR="1")
    assert ESCAPE not in run("ladder").out
    assert ESCAPE in on_a_terminal("chek")
    assert ESCAPE not in run("chek").err
