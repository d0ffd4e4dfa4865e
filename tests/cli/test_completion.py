"""Completion in real shells: bash by its function, zsh and fish where they are installed."""

from __future__ import annotations

import os
import select
import shutil
import subprocess
import time
from collections.abc import Sequence
from pathlib import Path

import pytest

from reedwright.cli.commands import COMMANDS
from reedwright.cli.completion import SHELLS, specs
from reedwright.harp.tuning import tuning_names
from tests.cli.runs import TIMEOUT_S, environment, inside

LEVELS = ["beginner", "improver", "steady", "advanced", "expert"]


@pytest.fixture
def scripts(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    for shell in SHELLS:
        done = inside(capsys, "completion", shell)
        assert (done.code, done.err) == (0, "")
        (tmp_path / f"reedwright.{shell}").write_text(done.out)
    tunes = tmp_path / "tunes"
    (tunes / "sub").mkdir(parents=True)
    for name in ("blue porch.reed", "a.reed", "notes.txt"):
        (tunes / name).write_text("")
    return tmp_path


def ask(words: Sequence[str], folder: Path) -> str:
    if shutil.which(words[0]) is None:
        pytest.skip(f"no {words[0]} on this machine")
    done = subprocess.run(
        words, cwd=folder / "tunes", capture_output=True, text=True, timeout=TIMEOUT_S,
        check=False, env=environment(TERM="dumb"),
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    return done.stdout


def in_bash(typed: Sequence[str], folder: Path) -> list[str]:
    """What bash is offered for the last word typed."""
    script = (
        'set -u; source "$0"; COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); COMPREPLY=();'
        '_reedwright; for word in ${COMPREPLY[@]+"${COMPREPLY[@]}"}; do echo "$word"; done'
    )
    words = ["bash", "--norc", "-c", script, str(folder / "reedwright.bash"), "reedwright", *typed]
    return ask(words, folder).splitlines()


BASH = {
    ("",): [*COMMANDS, "--help", "--version"],
    ("ch",): ["check"],
    ("check", ""): ["a.reed", "blue porch.reed", "sub"],
    ("check", "b"): ["blue porch.reed"],
    ("check", "blue\\ p"): ["blue porch.reed"],
    ("check", "--"): ["--help", "--tempo", "--json"],
    ("tidy", "a.reed", ""): ["a.reed", "blue porch.reed", "sub"],
    ("sheet", "a.reed", "-o", ""): ["a.reed", "blue porch.reed", "notes.txt", "sub"],
    ("sheet", "a.reed", "--out", "n"): ["notes.txt"],
    ("sheet", "a.reed", "--paper", ""): ["a4", "letter"],
    ("sheet", "a.reed", "--paper", "=", "l"): ["letter"],
    ("sheet", "a.reed", "--paper", "="): ["a4", "letter"],
    ("pack", "a.reed", "-o", ""): ["sub"],
    ("harp", "--tuning", "na"): ["natural minor"],
    ("harp", "--tuning", '"na'): ["natural minor"],
    ("harp", "--tuning", ""): list(tuning_names()),
    ("harp", "F"): ["F", "F#"],
    ("harp", "--a4", ""): [],
    ("ladder", "--level", ""): LEVELS,
    ("completion", ""): list(SHELLS),
    ("nonsense", ""): [],
}


@pytest.mark.parametrize(("typed", "offered"), BASH.items(), ids=" ".join)
def test_bash(typed: tuple[str, ...], offered: list[str], scripts: Path) -> None:
    assert in_bash(typed, scripts) == offered


def test_bash_knows_which_command_it_completes(scripts: Path) -> None:
    script = f"source {scripts / 'reedwright.bash'}; complete -p reedwright"
    assert ask(["bash", "--norc", "-c", script], scripts) == "complete -F _reedwright reedwright\n"


FISH = {
    "reedwright ": sorted(COMMANDS),
    "reedwright ch": ["check"],
    "reedwright harp --tuning na": ["natural minor"],
    "reedwright sheet --paper ": ["a4", "letter"],
    "reedwright completion ": sorted(SHELLS),
    "reedwright ladder --level ": sorted(LEVELS),
    "reedwright check a": ["a.reed"],
    "reedwright pack a.reed -o s": ["sub/"],
}


@pytest.mark.parametrize(("typed", "offered"), FISH.items(), ids=str)
def test_fish(typed: str, offered: list[str], scripts: Path) -> None:
    script = f"source {scripts / 'reedwright.fish'}; complete -C {typed!r}"
    lines = ask(["fish", "--no-config", "-c", script], scripts).splitlines()
    assert [line.split("\t")[0] for line in lines] == offered


ZSH = {
    "reedwright ": [*COMMANDS],
    "reedwright harp --tuning ": ["Richter", "natural\\ minor"],
    "reedwright sheet --paper ": ["a4", "letter"],
    "reedwright sheet --": ["--help", "--large", "--out", "--paper", "--tab", "--tempo"],
    "reedwright check ": ["a.reed", "blue\\ porch.reed", "sub"],
    "reedwright completion ": [*SHELLS],
}


@pytest.mark.parametrize(("typed", "offered"), ZSH.items(), ids=str)
def test_zsh(typed: str, offered: list[str], scripts: Path) -> None:
    """In a real interactive zsh behind a pseudo-terminal: what is on its screen after Tab."""
    screen = zsh_screen(scripts / "reedwright.zsh", typed, scripts / "tunes")
    assert [word for word in offered if word not in screen] == [], screen
    assert "notes.txt" not in screen


def zsh_screen(script: Path, typed: str, folder: Path) -> str:
    """What zsh shows for a line and the Tab key."""
    if shutil.which("zsh") is None:
        pytest.skip("no zsh on this machine")
    pty = pytest.importorskip("pty", reason="no pseudo-terminals on this system")
    ours, theirs = pty.openpty()
    shell = subprocess.Popen(
        ["zsh", "-f", "-i"], stdin=theirs, stdout=theirs, stderr=theirs, cwd=folder,
        env=environment(TERM="vt100", COLUMNS="80", HOME=str(folder)), start_new_session=True,
    )  # fmt: skip
    os.close(theirs)
    try:
        start = f"autoload -Uz compinit; compinit -D -u; source {script}; echo REA''DY\n"
        os.write(ours, start.encode())
        _read(ours, until=b"READY")
        os.write(ours, typed.encode() + b"\t\t")
        return _read(ours).decode()
    finally:
        shell.kill()
        shell.wait()
        os.close(ours)


def _read(terminal: int, until: bytes = b"", quiet_s: float = 1.0) -> bytes:
    """All that comes until the terminal is quiet, at the earliest after a mark."""
    got, end_s = b"", time.monotonic() + TIMEOUT_S
    while time.monotonic() < end_s:
        ready, _, _ = select.select([terminal], [], [], quiet_s)
        if ready:
            got += os.read(terminal, 65536)
        elif got and until in got:
            return got
    raise AssertionError(f"the shell said nothing more: {got!r}")


def test_scripts_say_nothing_a_spec_does_not(scripts: Path) -> None:
    for spec in specs():
        for shell in SHELLS:
            text = (scripts / f"reedwright.{shell}").read_text()
            for option in spec.options:
                for flag in option.flags:
                    assert (flag if shell != "fish" else flag.lstrip("-")) in text


def test_an_unknown_shell(capsys: pytest.CaptureFixture[str]) -> None:
    done = inside(capsys, "completion", "csh")
    assert done.code == 2
    assert "invalid choice: 'csh'" in done.err
