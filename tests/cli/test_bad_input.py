"""Every bad input at the command line: an exit code, one message, no traceback, no hang, no file.

The texts of single faults belong to the rooms that find them; here it is the way they are told.
"""

from __future__ import annotations

import os
import socket
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.runs import SMALL, TIMEOUT_S, Ran, command, environment, run

HEAD = "Title: T\nHarp: C\nPosition: 2\n\n"


def missing(folder: Path) -> Path:
    return folder / "missing.reed"


def a_folder(folder: Path) -> Path:
    (folder / "tunes").mkdir()
    return folder / "tunes"


def behind_a_file(folder: Path) -> Path:
    (folder / "file").write_text("x")
    return folder / "file" / "t.reed"


def a_pipe(folder: Path) -> Path:
    os.mkfifo(folder / "pipe.reed")
    return folder / "pipe.reed"


def a_socket(folder: Path) -> Path:
    path = folder / "s"
    with socket.socket(socket.AF_UNIX) as made:
        made.bind(str(path))
    return path


def a_loop(folder: Path) -> Path:
    (folder / "loop.reed").symlink_to(folder / "loop.reed")
    return folder / "loop.reed"


def unreadable(folder: Path) -> Path:
    if os.geteuid() == 0:
        pytest.skip("root reads everything")
    path = folder / "secret.reed"
    path.write_text(SMALL)
    path.chmod(0)
    return path


def huge(folder: Path) -> Path:
    with (folder / "huge.reed").open("wb") as file:
        file.truncate(50_000_000)
    return folder / "huge.reed"


def zeros(_: Path) -> Path:
    if not Path("/dev/zero").exists():
        pytest.skip("no /dev/zero on this system")
    return Path("/dev/zero")


def too_long_a_name(folder: Path) -> Path:
    return folder / ("x" * 300 + ".reed")


def not_utf_8_in_the_name(folder: Path) -> Path:
    return folder / os.fsdecode(b"caf\xe9.reed")


FILES: dict[Callable[[Path], Path], str] = {
    missing: "no such file or directory",
    a_folder: "a folder, not a tune",
    behind_a_file: "not a directory",
    a_pipe: "not a plain file",
    a_socket: "",  # words of the system
    a_loop: "",
    unreadable: "permission denied",
    huge: "50,000,000 bytes, more than 4,000,000",
    zeros: "not a plain file",
    too_long_a_name: "file name too long",
    not_utf_8_in_the_name: "no such file or directory",
}
COMMANDS = {
    "check": ("check", "TUNE"),
    "check --json": ("check", "TUNE", "--json"),
    "tidy": ("tidy", "TUNE"),
    "tidy --write": ("tidy", "--write", "TUNE"),
    "sheet": ("sheet", "TUNE", "-o", "OUT/sheet.pdf"),
    "pack": ("pack", "TUNE", "-o", "OUT/pack", "--audio", "none"),
}


def ran(name: str, tune: Path, out: Path) -> Ran:
    words = [word.replace("TUNE", str(tune)).replace("OUT", str(out)) for word in COMMANDS[name]]
    return run(*words)


@pytest.mark.parametrize("name", COMMANDS)
@pytest.mark.parametrize("make", FILES, ids=lambda make: make.__name__)
def test_a_file_that_cannot_be_read(
    make: Callable[[Path], Path], name: str, tmp_path: Path
) -> None:
    tune = make(tmp_path)
    out = tmp_path / "out"
    out.mkdir()
    done = ran(name, tune, out)
    assert (done.code, done.out) == (2, "")
    assert FILES[make] in done.err
    assert done.err.count("\n") == 1
    assert "Traceback" not in done.err
    assert list(out.iterdir()) == []


TEXTS: dict[str, tuple[bytes, str]] = {
    "empty": (b"", "no Title"),
    "only blanks": (b" \n\t\n\n", "no Title"),
    "zeros": (b"\0" * 1000, "control character (U+0000)"),
    "latin-1": (b"Title: Caf\xe9\n", ":1:11: byte 0xE9 is not UTF-8"),
    "a picture": (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", ":1:1: byte 0x89 is not UTF-8"),
    "utf-16": ("Title: T\n".encode("utf-16"), "byte 0xFF is not UTF-8"),
    "wrong token": (f"{HEAD}Lick A\n1: 4z 4d 4d 4d\n".encode(), ":6:4:"),
    "wrong count": (f"{HEAD}Lick A\n1: 4d 4d 4d\n".encode(), ":6:"),
    "unknown harp": (b"Title: T\nHarp: H\nPosition: 2\n\nLick A\n1: 4d = = =\n", ":2:7:"),
    "no such lick": (f"{HEAD}Lick A\n1: 4d = = =\n\nChorus\n1 B\n".encode(), ":9:"),
    "circular": (f"{HEAD}Lick A\n1: as B\n\nLick B\n1: as A\n".encode(), "circle"),
    "deep nesting": (f"{HEAD}Lick A\n1: {'(' * 3900}\n".encode(), ":6:"),
    "deep braces": (f"{HEAD}Lick A\n1: {'{' * 10_000}\n".encode(), ":6:"),
    "a number of 400 digits": (f"{HEAD}Lick A\n1: {'9' * 400}d = = =\n".encode(), ":6:4:"),
    "a tempo of 400 digits": (f"Tempo: {'9' * 400}\n{SMALL}".encode(), ":1:8:"),
    "a bar of 400 digits": (f"{HEAD}Lick A\n{'9' * 400}: 4d = = =\n".encode(), ":6:1:"),
    "a long line": (f"{HEAD}# {'x' * 1_000_000}\n".encode(), "a line of 1000002 characters"),
    "own tuning elsewhere": (
        b"Tuning: ../../etc/passwd.toml\n" + SMALL.encode(),
        "is not beside the tune",
    ),
    "own tuning missing": (b"Tuning: mine.toml\n" + SMALL.encode(), "no such file"),
}


@pytest.mark.parametrize("name", COMMANDS)
@pytest.mark.parametrize("kind", TEXTS)
def test_a_text_that_is_no_tune(kind: str, name: str, tmp_path: Path) -> None:
    data, said = TEXTS[kind]
    tune, out = tmp_path / "t.reed", tmp_path / "out"
    tune.write_bytes(data)
    out.mkdir()
    done = ran(name, tune, out)
    assert "Traceback" not in done.err
    assert list(out.iterdir()) == []
    assert len(done.err) < 60_000
    if name.startswith("tidy") and done.code == 0:
        return  # only the header is wrong, or what licks mean: nothing a formatter looks at
    assert tune.read_bytes() == data
    assert (done.code, done.out) == (2, "")
    assert said in done.err


def test_all_errors_of_a_file_in_one_go_each_with_its_line(tmp_path: Path) -> None:
    tune = tmp_path / "t.reed"
    tune.write_text("Title: T\nHarp: H\nPosition: 99\n\nLick A\n1: 4z 4d 4d 4d\n2: 4d\n")
    done = run("check", str(tune))
    lines = done.err.splitlines()
    places = [line.split(" ")[0] for line in lines if line.startswith(str(tune))]
    assert places == [f"{tune}:{place}:" for place in ("2:7", "3:11", "6:4", "7:6")]
    assert lines[1:3] == ["    Harp: H", "          ^"]
    assert lines[-1] == f"4 errors in {tune}; nothing was checked or made."


def test_the_word_that_the_reading_stopped_is_not_counted_as_an_error(tmp_path: Path) -> None:
    tune = tmp_path / "t.reed"
    tune.write_text(HEAD + "Lick A\n" + "1: 4z 4z 4z 4z\n" * 50)
    *said, stopped, total = run("check", str(tune)).err.splitlines()
    assert "100 problems found, and the reading stopped" in "".join(said)
    assert total == f"100 errors or more in {tune}; nothing was checked or made."
    assert stopped.strip() == "^"


def test_a_place_in_a_long_line_is_shown_cut(tmp_path: Path) -> None:
    tune = tmp_path / "t.reed"
    tune.write_text(f"{HEAD}Lick A\n1: {'4d& ' * 40}4z\n")
    shown = run("check", str(tune)).err.splitlines()
    assert max(len(line) for line in shown if line.startswith("    ")) <= 104


ERRORS = {
    "no such bend": "1: 5d' = = =",
    "both ways at once": "1: 1b+2d = = =",
    "no such hole": "1: 11d = = =",
}


@pytest.mark.parametrize("kind", ERRORS)
@pytest.mark.parametrize("name", ["check", "check --json", "sheet", "pack"])
def test_a_tune_with_errors_is_told_and_not_printed(kind: str, name: str, tmp_path: Path) -> None:
    tune, out = tmp_path / "t.reed", tmp_path / "out"
    tune.write_text(f"{HEAD}Lick A\n{ERRORS[kind]}\n")
    out.mkdir()
    done = ran(name, tune, out)
    assert "Traceback" not in done.err
    assert list(out.iterdir()) == []
    assert done.code in (1, 2)  # 2 where it is no token at all
    if name in ("sheet", "pack") and done.code == 1:
        assert done.out == ""
        assert "error" in done.err
        assert done.err.endswith("No sheet was made: mend the errors first.\n")


def test_a_bend_that_does_not_exist_is_an_error_of_the_tune(tmp_path: Path) -> None:
    tune = tmp_path / "t.reed"
    tune.write_text(f"{HEAD}Lick A\n1: 5d' = = =\n")
    done = run("check", str(tune))
    assert (done.code, done.err) == (1, "")
    assert "error" in done.out
    assert "Mend:" in done.out


def test_markup_in_a_title_is_only_text(tmp_path: Path) -> None:
    tune = tmp_path / "t.reed"
    title = r"<b>&amp;</b> #set page(width: 1pt) \u{41} ]]> {{x}} %n$s"
    tune.write_text(SMALL.replace("Title: Small", f"Title: {title}"))
    for ending in ("pdf", "svg", "musicxml", "mid", "txt"):
        done = run("sheet", str(tune), "-o", str(tmp_path / f"t.{ending}"))
        assert (done.code, done.err) == (0, ""), ending
    assert title in (tmp_path / "t.txt").read_text(encoding="utf-8")


PLACES = {
    "no folder": "no/such/folder/",
    "a file as folder": "file/",
}


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize(
    "words", [("sheet", "TUNE", "-o", "PLACEt.txt"), ("harp", "C", "--svg", "PLACEt.svg"),
              ("new", "PLACEt.reed")], ids=lambda words: words[0],
)  # fmt: skip
def test_a_place_that_cannot_be_written(words: tuple[str, ...], place: str, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    (tmp_path / "t.reed").write_text(SMALL)
    where = f"{tmp_path}/{PLACES[place]}"
    tune = str(tmp_path / "t.reed")
    done = run(*(word.replace("TUNE", tune).replace("PLACE", where) for word in words))
    assert (done.code, done.out) == (2, "")
    assert "Mend: " in done.err
    assert "Traceback" not in done.err


@pytest.mark.parametrize("ending", ["txt", "musicxml", "mid", "pdf"])
def test_a_full_disk_leaves_the_old_sheet(ending: str, tmp_path: Path) -> None:
    tune, sheet = tmp_path / "t.reed", tmp_path / f"t.{ending}"
    tune.write_text(SMALL)
    sheet.write_bytes(b"old")
    done = run("sheet", str(tune), "-o", str(sheet), limit_bytes=100)
    assert (done.code, done.out) == (2, "")
    assert "file too large" in done.err
    # a PDF fails first where its music font is put, among the system's temporary files
    assert ("TMPDIR" if ending == "pdf" else "Mend: check") in done.err
    assert sheet.read_bytes() == b"old"
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted([sheet.name, "t.reed"])


@pytest.mark.parametrize("words", [("check", "-"), ("tidy", "-"), ("sheet", "-", "-o", "x.txt")])
def test_standard_input(words: tuple[str, ...], tmp_path: Path) -> None:
    assert run(*words, stdin=SMALL.encode(), cwd=tmp_path).code == 0
    for data, said in ((b"", "no Title"), (b"\xff", "not UTF-8"), (b"#" * 4_000_001, "more than")):
        done = run(*words, stdin=data, cwd=tmp_path)
        if words[0] == "tidy" and not data:
            continue
        assert done.code == 2
        assert said in done.err
        assert "standard input" in done.err
        assert "Traceback" not in done.err


@pytest.mark.parametrize("linked", [False, True])
def test_a_sheet_never_takes_the_place_of_its_tune(linked: bool, tmp_path: Path) -> None:
    tune, out = tmp_path / "t.txt", tmp_path / "t.txt"
    tune.write_text(SMALL)
    if linked:
        out = tmp_path / "other.txt"
        out.symlink_to(tune)
    done = run("sheet", str(tune), "-o", str(out))
    assert (done.code, done.out) == (2, "")
    assert done.err == f"reedwright sheet: {out} is the tune itself; write to another file.\n"
    assert tune.read_text() == SMALL


@pytest.mark.parametrize(
    ("words", "name"),
    [
        (("check", ""), "TUNE"),
        (("tidy", "t.reed", ""), "TUNES"),
        (("sheet", "t.reed", "--out="), "--out"),
        (("pack", "t.reed", "-o", ""), "--out"),
        (("new", ""), "FILE"),
        (("harp", "C", "--svg", ""), "--svg"),
        (("harp", "C", ""), "KEY"),
        (("harp", "--for", ""), "--for"),
    ],
)
def test_an_empty_word_is_not_taken_for_something(
    words: tuple[str, ...], name: str, tmp_path: Path
) -> None:
    (tmp_path / "t.reed").write_text(SMALL)
    done = run(*words, cwd=tmp_path)
    assert (done.code, done.out) == (2, "")
    assert done.err == f"reedwright {words[0]}: {name}: nothing given; write it or drop it.\n"
    assert [path.name for path in tmp_path.iterdir()] == ["t.reed"]


def test_a_name_that_steers_a_terminal_is_shown_harmlessly(tmp_path: Path) -> None:
    tune = tmp_path / "a\n\x1b[2J\u202e.reed"
    harmless = str(tmp_path / "a\ufffd\ufffd[2J\ufffd.reed")
    missing_one = run("check", str(tune))
    assert missing_one.err.startswith(f"{harmless}: no such file")
    tune.write_text(SMALL + "2: 4z = = =\n")
    wrong = run("check", str(tune))
    assert wrong.err.startswith(f"{harmless}:7:4: ")
    tune.write_text(SMALL.replace("2d 3d'", "2d  3d'"))
    told = [
        run("tidy", "--check", str(tune)),
        run("tidy", "--write", str(tune)),
        run("sheet", str(tune), "-o", f"{tune}.txt"),
        run("pack", str(tune), "-o", f"{tune}.pack", "--audio", "none"),
        run("harp", "C", "--svg", f"{tune}.svg"),
        run("new", str(tmp_path / "b\x1b[2J.reed"), "--title", "B"),
    ]
    assert [done.code for done in told] == [1, 0, 0, 0, 0, 0]
    for done in (missing_one, wrong, *told):
        assert "\x1b" not in done.out + done.err
        assert "\u202e" not in done.out + done.err


@pytest.mark.parametrize("name", ["check", "sheet", "pack"])
def test_faulty_lungs_name_the_file_and_the_line(name: str, tmp_path: Path) -> None:
    tune = tmp_path / "t.reed"
    tune.write_text(
        SMALL.replace("Harp: C", "Harp: C\nLungs: start 17, wings 2, x").replace("3d'", "3z")
    )
    words = {
        "check": (),
        "sheet": ("-o", str(tmp_path / "t.txt")),
        "pack": ("-o", str(tmp_path), "--audio", "none"),
    }
    done = run(name, str(tune), *words[name])
    assert (done.code, done.out) == (2, "")
    faults = [line for line in done.err.splitlines() if "Mend: " in line]
    places = ["3:8", "3:8", "3:8", "7:7"]  # with the other errors, in one go
    assert [line.split(": ")[0] for line in faults] == [f"{tune}:{place}" for place in places]
    assert list(tmp_path.iterdir()) == [tune]


FULL = Path("/dev/full")


@pytest.mark.skipif(not FULL.exists(), reason="no /dev/full on this system")
@pytest.mark.parametrize("also_output", [False, True])
@pytest.mark.parametrize("words", [("check", "none.reed"), ("chek",), ("check", "faulty.reed")])
def test_an_error_that_cannot_be_said_keeps_its_exit_code(
    words: tuple[str, ...], also_output: bool, tmp_path: Path
) -> None:
    (tmp_path / "faulty.reed").write_text(SMALL + "2: 4z\n")
    with FULL.open("wb") as full:
        done = subprocess.run(
            command(*words),
            stdout=full if also_output else subprocess.DEVNULL,
            stderr=full,
            timeout=TIMEOUT_S,
            check=False,
            env=environment(),
            cwd=tmp_path,
        )
    assert done.returncode == 2


@pytest.mark.parametrize("ending", ["pdf", "svg", "txt", "mid", "musicxml"])
def test_a_tune_too_long_to_print(ending: str, tmp_path: Path) -> None:
    tune, out = tmp_path / "t.reed", tmp_path / f"t.{ending}"
    tune.write_text(SMALL + "\nChorus, 999 times\n1 Call\n")
    done = run("sheet", str(tune), "-o", str(out))
    printed = ending in ("pdf", "svg")
    assert done.code == (2 if printed else 0)
    assert ("999 bars" in done.err and "Mend: " in done.err) is printed
    assert out.exists() is not printed
