"""The frame: version, help, wrong words, faults of ours, pipes and Ctrl-C."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

import reedwright
from reedwright.cli import ladder
from reedwright.cli.commands import COMMANDS
from reedwright.cli.main import main
from tests.cli.runs import SMALL, TIMEOUT_S, command, environment, inside, run


def test_the_version() -> None:
    done = run("--version")
    assert (done.code, done.out, done.err) == (0, f"reedwright {reedwright.__version__}\n", "")
    assert run("-V").out == done.out


def test_the_version_imports_next_to_nothing() -> None:
    script = (
        "import sys; before = set(sys.modules)\n"
        "from reedwright.cli.main import main; main(['--version'])\n"
        "print(sorted(set(sys.modules) - before))"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    names = ["reedwright", "reedwright.cli", "reedwright.cli.main"]
    assert done.stdout.splitlines()[1] == str(names)


def test_help_lists_every_command(capsys: pytest.CaptureFixture[str]) -> None:
    for words in (["--help"], ["-h"], ["help"]):
        done = inside(capsys, *words)
        assert done.code == 0
        for name, about in COMMANDS.items():
            assert f"  {name}" in done.out
            assert about.summary in done.out


def test_without_a_word_help_is_shown_and_the_exit_code_says_so(
    capsys: pytest.CaptureFixture[str],
) -> None:
    done = inside(capsys)
    assert done.code == 2
    assert done.out.startswith("usage: reedwright COMMAND")


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_explains_itself_with_examples(
    name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    done = inside(capsys, name, "--help")
    assert (done.code, done.err) == (0, "")
    assert f"usage: reedwright {name}" in done.out
    assert "examples:" in done.out
    assert f"reedwright {name} " in done.out.split("examples:")[1]
    assert max(map(len, done.out.splitlines())) <= 90
    assert inside(capsys, "help", name).out == done.out


WRONG_WORDS = {
    ("chek",): "reedwright: no command 'chek'; did you mean check? See `reedwright --help`.",
    ("check",): "reedwright check: the following arguments are required: TUNE. "
    "See `reedwright check --help`.",
    ("sheet", "a.reed"): "reedwright sheet: the following arguments are required: -o/--out. "
    "See `reedwright sheet --help`.",
    ("sheet", "a.reed", "-o", "a.docx"): "reedwright sheet: 'a.docx' must end in one of .pdf, "
    ".svg, .musicxml, .mid, .txt.",
    ("sheet", "a.reed", "-o", "a.mid", "--large"): "reedwright sheet: --large is for a PDF; "
    "leave it out.",
    ("tidy", "a.reed", "b.reed"): "reedwright tidy: several tunes need --write or --check.",
    ("tidy", "--write", "-"): "reedwright tidy: standard input cannot be written; leave --write "
    "out.",
    ("harp",): "reedwright harp: name one harp (`reedwright harp C`) or one key to play in "
    "(`reedwright harp --for E`).",
    ("harp", "C", "--a4", "loud"): "reedwright harp: --a4 'loud' is no frequency; write 440 or "
    "442.",
    ("harp", "--for", "E", "--json"): "reedwright harp: --svg and --json with --for need a "
    "--position.",
    ("new", "a.txt"): "reedwright new: a tune's file ends in .reed, such as a.reed.",
    ("check", "a.reed", "--tempo", "80, 100"): "reedwright check: --tempo is one number, such as "
    "80.",
}


@pytest.mark.parametrize(("words", "said"), WRONG_WORDS.items(), ids=lambda value: str(value)[:40])
def test_wrong_words(words: tuple[str, ...], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    done = inside(capsys, *words)
    assert (done.code, done.out, done.err) == (2, "", said + "\n")


def test_strange_words_are_shown_safely(capsys: pytest.CaptureFixture[str]) -> None:
    done = inside(capsys, "\x1b[31mred\udce9" + "x" * 10_000)
    assert done.code == 2
    assert "\x1b" not in done.err
    assert len(done.err) < 300


def test_a_fault_of_ours_is_told_without_a_traceback(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> int:
        raise ZeroDivisionError("a\nb")

    monkeypatch.setattr(ladder, "run", broken)
    monkeypatch.delenv("REEDWRIGHT_DEBUG", raising=False)
    done = inside(capsys, "ladder")
    assert done.code == 70
    assert "Traceback" not in done.err
    assert "ZeroDivisionError: a b (tests.cli.test_main:" in done.err
    assert f"reedwright {reedwright.__version__}, Python" in done.err
    monkeypatch.setenv("REEDWRIGHT_DEBUG", "1")
    with pytest.raises(ZeroDivisionError):
        inside(capsys, "ladder")


def test_running_out_of_memory_is_told(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def hungry(*_: object) -> int:
        raise MemoryError

    monkeypatch.setattr(ladder, "run", hungry)
    done = inside(capsys, "ladder")
    assert (done.code, done.err) == (2, "reedwright: not enough memory for this.\n")


@pytest.mark.parametrize("words", [["ladder"], ["ladder", "--json"], ["--help"], ["-V"]])
def test_a_reader_that_goes_away_is_no_fault(words: list[str]) -> None:
    reading, writing = os.pipe()
    os.close(reading)
    done = subprocess.run(
        command(*words),
        stdout=writing,
        stderr=subprocess.PIPE,
        timeout=TIMEOUT_S,
        check=False,
        env=environment(),
    )
    os.close(writing)
    assert (done.returncode, done.stderr) == (141, b"")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no /dev/full on this system")
@pytest.mark.parametrize("words", [["ladder"], ["ladder", "--json"], ["--version"]])
def test_no_room_for_the_output(words: list[str]) -> None:
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run(
            command(*words),
            stdout=full,
            stderr=subprocess.PIPE,
            timeout=TIMEOUT_S,
            check=False,
            env=environment(),
        )
    assert done.returncode == 2
    assert done.stderr == (
        b"reedwright: no space left on device. Mend: check the space left and your rights.\n"
    )


def test_closed_outputs_are_no_fault() -> None:
    words = " ".join(command("harp", "C"))
    for closed in (">&-", "2>&-", ">&- 2>&- <&-"):
        done = subprocess.run(
            f"{words} {closed}", shell=True, capture_output=True, timeout=TIMEOUT_S, check=False
        )
        assert done.returncode == 0, done.stderr
        assert b"Traceback" not in done.stderr


def test_ctrl_c_is_quiet() -> None:
    # A suite run in the background ignores Ctrl-C, and would hand that down to what it starts.
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    process = subprocess.Popen(
        command("check", "-"),
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env=environment(PYTHONUNBUFFERED="1"),
    )
    signal.signal(signal.SIGINT, before)
    assert process.stdin is not None
    process.stdin.write(SMALL.encode())
    process.stdin.flush()
    try:
        process.wait(1.5)  # long enough to start on any machine we know; then it waits for more
    except subprocess.TimeoutExpired:
        process.send_signal(signal.SIGINT)
    _, err = process.communicate(timeout=TIMEOUT_S)
    assert (process.returncode, err) == (130, b"")


def test_ctrl_c_while_the_modules_are_read_is_quiet(monkeypatch: pytest.MonkeyPatch) -> None:
    class Interrupted:
        def find_spec(self, name: str, *_: object) -> None:
            if name == "reedwright.cli.run":
                raise KeyboardInterrupt

    monkeypatch.delitem(sys.modules, "reedwright.cli.run", raising=False)
    monkeypatch.setattr(sys, "meta_path", [Interrupted(), *sys.meta_path])
    assert main(["ladder"]) == 130
