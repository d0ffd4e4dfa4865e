"""The house rules a machine can read: arrows between rooms, sizes, and files that stand alone.

The map of rooms is CONTRIBUTING's; here it is the table ``READS``. A new room gets a line in it.
Source of the rules: our own house style; no outside source.
"""

import ast
import re
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
PACKAGE = ROOT / "src" / "reedwright"

# harp <- tune <- performance <- (breath, harmony, sheet, voice, amp, band) <- (check, fit, lesson,
# sound) <- pack <- cli. `kernels` is the one door to the compiler of number loops.
_BELOW_PEERS = {"errors", "files", "tables", "harp", "tune", "performance"}
_ROOMS_OF_SOUND = {"kernels", "voice", "amp", "band"}
_BEFORE_PACK = {"breath", "harmony", "sheet", "check", "sound", "lesson"}
READS: dict[str, set[str]] = {
    "errors": set(),
    "files": {"errors"},
    "tables": {"errors", "files"},
    "kernels": set(),
    "harp": {"errors"},
    "tune": {"errors", "files", "tables", "harp"},
    "performance": {"errors", "files", "tables", "harp", "tune"},
    "breath": _BELOW_PEERS,
    "harmony": _BELOW_PEERS,
    "sheet": _BELOW_PEERS,
    "voice": _BELOW_PEERS | {"kernels"},
    "amp": _BELOW_PEERS | {"kernels"},
    "band": _BELOW_PEERS | {"kernels"},
    "fit": _BELOW_PEERS | {"breath", "harmony"},
    "check": _BELOW_PEERS | {"breath", "harmony"},
    "lesson": _BELOW_PEERS | {"breath", "harmony"},
    "vary": _BELOW_PEERS | {"breath", "harmony", "fit", "check"},
    "sound": _BELOW_PEERS | _ROOMS_OF_SOUND,
    "pack": _BELOW_PEERS | _BEFORE_PACK | {"amp", "band"},
    "desk": _BELOW_PEERS | _BEFORE_PACK | _ROOMS_OF_SOUND | {"fit", "vary", "pack"},
    "cli": _BELOW_PEERS | _BEFORE_PACK | _ROOMS_OF_SOUND | {"fit", "vary", "pack", "desk"},
    "__main__": {"cli"},
}
MODULE_LINES = 300
FUNCTION_LINES = 50
_MADE = {".venv", "node_modules", ".hypothesis", "__pycache__", "build", "dist"}


def imported(source: str) -> Iterator[tuple[int, str]]:
    """(line, dotted name) of every import, those inside functions too.

    ``from reedwright import harp`` counts as ``reedwright.harp``: the room is what is read.
    """
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            start = "." * node.level + (node.module or "")
            yield from ((node.lineno, f"{start}.{alias.name}") for alias in node.names)


def wrong_arrows(room: str, source: str) -> list[str]:
    """What a module of the room imports and may not."""
    wrong = []
    for line, name in imported(source):
        parts = name.split(".")
        if name.startswith("."):
            wrong.append(f"line {line}: relative import {name}")
        elif parts[0] in {"tests", "bench"}:
            wrong.append(f"line {line}: {room} imports {name}")
        elif parts[0] == "reedwright" and parts[1:2] not in ([], ["__version__"]):
            target = parts[1]
            if target != room and target not in READS[room]:
                wrong.append(f"line {line}: {room} may not read {target} ({name})")
    return wrong


def long_functions(source: str) -> list[str]:
    """Functions longer than the ceiling, decorators not counted."""
    return [
        f"line {node.lineno}: {node.name} has {length} lines"
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        and (length := (node.end_lineno or node.lineno) - node.lineno + 1) > FUNCTION_LINES
    ]


def more_than_a_docstring(source: str, *, version_allowed: bool) -> list[str]:
    """What a package's ``__init__`` holds and should not, or that it lacks its docstring."""
    tree = ast.parse(source)
    if ast.get_docstring(tree) is None:
        return ["no docstring"]
    rest = [ast.unparse(node) for node in tree.body[1:]]
    return [text for text in rest if not (version_allowed and text.startswith("__version__ = "))]


def modules() -> list[Path]:
    return sorted(PACKAGE.rglob("*.py"))


def room_of(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def name_of(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def tracked_files() -> list[Path]:
    """What a clone holds: git's list, or every file when this is no checkout (an sdist)."""
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard", "-z"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    names = listed.stdout.split("\0") if listed.returncode == 0 else []
    paths = [ROOT / name for name in names if name] or list(ROOT.rglob("*"))
    return [path for path in paths if path.is_file() and not made_here(path)]


def made_here(path: Path) -> bool:
    """Whether a file was made by working here, and is in no clone."""
    parts = path.relative_to(ROOT).parts
    return any(part in _MADE or part.endswith("_cache") for part in parts)


def test_the_package_is_where_we_look() -> None:
    assert {name_of(path) for path in modules()} >= {
        "src/reedwright/__init__.py",
        "src/reedwright/__main__.py",
        "src/reedwright/errors.py",
    }


def test_every_room_is_on_the_map() -> None:
    assert {room_of(path) for path in modules()} - {"__init__"} <= READS.keys()


def test_the_map_itself_has_no_circle() -> None:
    order = list(READS)
    for room, reads in READS.items():
        assert all(order.index(read) < order.index(room) for read in reads), room


@pytest.mark.parametrize("path", modules(), ids=name_of)
def test_arrows_run_one_way(path: Path) -> None:
    room = room_of(path)
    if room != "__init__":
        assert wrong_arrows(room, path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("path", modules(), ids=name_of)
def test_sizes(path: Path) -> None:
    source = path.read_text(encoding="utf-8")
    assert len(source.splitlines()) <= MODULE_LINES
    assert long_functions(source) == []


@pytest.mark.parametrize("path", sorted(PACKAGE.rglob("__init__.py")), ids=name_of)
def test_package_files_hold_a_docstring_only(path: Path) -> None:
    source = path.read_text(encoding="utf-8")
    assert more_than_a_docstring(source, version_allowed=path.parent == PACKAGE) == []


@pytest.mark.parametrize("path", modules(), ids=name_of)
def test_every_module_says_what_it_is_for(path: Path) -> None:
    assert ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))


# Spelt in pieces, so that this file does not name them either.
_PLACES = re.compile(
    "|".join(
        (
            r"/" + r"work/(?:main|shared|\.)",
            r"/" + r"root/\.",
            r"\.\./" + r"shared\b",
            r"\bshared/" + r"(?:contracts|handbook|house-style|lab)",
            r"seed " + r"document",
            r"/opt/" + r"(?:pypi|wheels)",
            r"py" + r"pi\.org|python" + r"hosted|npm" + r"js\.org|deb\." + r"debian\.org",
        )
    )
)


def test_the_pattern_for_places_bites() -> None:
    assert _PLACES.search("see /" + "work/main")
    assert _PLACES.search("cat ../" + "shared" + "/contracts.md")
    assert _PLACES.search("https://files.python" + "hosted.org/x")
    assert not _PLACES.search("<work><root/></work> //work/work-title, of network/work")


def test_no_file_leans_on_one_machine() -> None:
    named = [
        f"{name_of(path)}:{number}: {line.strip()}"
        for path in tracked_files()
        for number, line in enumerate(path.read_text("utf-8", errors="replace").splitlines(), 1)
        if _PLACES.search(line)
    ]
    assert named == []


@pytest.mark.parametrize("name", ["run.txt", "dev.txt"])
def test_requirements_are_exact_and_name_no_registry(name: str) -> None:
    lines = (ROOT / "requirements" / name).read_text(encoding="utf-8").splitlines()
    pins = [line for line in lines if line and not line.startswith(("#", "-r "))]
    assert pins
    for pin in pins:
        assert re.fullmatch(r"[A-Za-z0-9._-]+==[A-Za-z0-9.]+", pin), pin


def test_wrong_arrows_are_seen() -> None:
    assert wrong_arrows("harp", "from reedwright.tune.tune import Tune") == [
        "line 1: harp may not read tune (reedwright.tune.tune.Tune)"
    ]
    assert wrong_arrows("breath", "def f():\n    import reedwright.sheet.pdf") == [
        "line 2: breath may not read sheet (reedwright.sheet.pdf)"
    ]
    assert wrong_arrows("tune", "from reedwright import cli") == [
        "line 1: tune may not read cli (reedwright.cli)"
    ]
    assert wrong_arrows("tune", "from . import grammar") == ["line 1: relative import ..grammar"]
    assert wrong_arrows("cli", "from tests import strategies") == [
        "line 1: cli imports tests.strategies"
    ]
    assert wrong_arrows("sheet", "from reedwright import __version__\nimport lxml") == []
    assert wrong_arrows("check", "from reedwright.breath.plan import Plan") == []


def test_long_functions_and_full_package_files_are_seen() -> None:
    body = "    x = 1\n" * FUNCTION_LINES
    assert long_functions(f"def f():\n{body}") == ["line 1: f has 51 lines"]
    assert long_functions(f"def f():\n{body[10:]}") == []
    assert more_than_a_docstring('"""Doc."""\nimport os', version_allowed=True) == ["import os"]
    version = '"""Doc."""\n__version__ = "1"'
    assert more_than_a_docstring(version, version_allowed=True) == []
    assert more_than_a_docstring(version, version_allowed=False) == ["__version__ = '1'"]
    assert more_than_a_docstring("", version_allowed=True) == ["no docstring"]
