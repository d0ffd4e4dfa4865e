"""Exit codes have one home, and the documentation names them all."""

import ast
from pathlib import Path

import pytest

import reedwright.cli
from reedwright.cli import codes

CLI = Path(reedwright.cli.__file__).parent
OURS = {name: value for name, value in vars(codes).items() if name.isupper()}


MODULES = [path for path in sorted(CLI.glob("*.py")) if path.name != "main.py"]  # imports nothing


@pytest.mark.parametrize("module", MODULES, ids=lambda path: path.name)
def test_no_command_gives_back_a_bare_number(module: Path) -> None:
    tree = ast.parse(module.read_text(encoding="utf-8"))
    returned = [node.value for node in ast.walk(tree) if isinstance(node, ast.Return)]
    parts = [part for value in returned if value for part in _ends(value)]
    bare = [part.lineno for part in parts if isinstance(part, ast.Constant) and _is_code(part)]
    assert not bare, f"{module.name}, lines {bare}: take the name from cli/codes.py"


def _ends(value: ast.expr) -> list[ast.expr]:
    return [value.body, value.orelse] if isinstance(value, ast.IfExp) else [value]


def _is_code(constant: ast.Constant) -> bool:
    return type(constant.value) is int and constant.value in OURS.values()


def test_the_documentation_names_every_code() -> None:
    text = (CLI.parents[2] / "docs" / "commands.md").read_text(encoding="utf-8")
    table = text[text.index("| exit code | meaning |") :].split("\n\n")[0]
    said = {int(code) for row in table.splitlines()[2:] for code in row.split("|")[1].split(",")}
    assert said == set(OURS.values())
