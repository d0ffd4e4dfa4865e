"""Fingerprints of what each recipe makes: ``python -m tests.pack.golden`` writes golden.json.

Recipes that our own code decides are kept as they are; those that end in verovio or typst (pages,
prints) hold for the versions of the libraries noted beside them. Writing refuses to give a recipe
new fingerprints under its old number, unless ``--anew`` says that none was ever released.
"""

from __future__ import annotations

import json
import sys
from hashlib import sha256
from pathlib import Path

from reedwright.check.check import Report, check
from reedwright.pack.choices import Choices
from reedwright.pack.contents import contents
from reedwright.pack.recipes import RECIPES, library_versions
from reedwright.sheet.options import TabStyle
from reedwright.tune.place import place
from reedwright.tune.read import read_tune

HERE = Path(__file__).resolve().parent
GOLDEN = HERE / "golden.json"
ENGRAVED = ("page", "print")
CHOICES = (Choices(), Choices("letter", TabStyle.ARROWS), Choices("a4", TabStyle.LETTERS))


def recipe_of(name: str) -> str:
    """The recipe that makes a file of a pack."""
    if name.startswith("sheet-") and name.endswith(".svg"):
        return "page"
    return {
        "band.mid": "band",
        "check.json": "check",
        "harp.svg": "chart",
        "sheet.pdf": "print",
        "sheet-large.pdf": "print",
        "sheet.txt": "text",
        "tune.mid": "midi",
        "tune.musicxml": "musicxml",
    }[name]


def fingerprints() -> dict[str, str]:
    """By recipe, one hash over its files of every golden tune under every choice."""
    sums = {recipe: sha256() for recipe in RECIPES}
    for tune in sorted(HERE.glob("golden-*.reed")):
        for choices in CHOICES:
            for name, data in contents(_report(tune), choices):
                sums[recipe_of(name)].update(f"{tune.name} {name} {len(data)}\n".encode() + data)
    return {recipe: made.hexdigest() for recipe, made in sums.items()}


def _report(tune: Path) -> Report:
    return check(place(read_tune(tune.read_text(encoding="utf-8"))))


def current() -> dict[str, dict[str, object]]:
    """What golden.json should say now."""
    return {
        recipe: {"recipe": RECIPES[recipe], "sha256": made}
        for recipe, made in sorted(fingerprints().items())
    }


def stored() -> dict[str, dict[str, object]]:
    found = json.loads(GOLDEN.read_text(encoding="utf-8"))["recipes"]
    assert isinstance(found, dict)
    return found


def same_libraries() -> bool:
    """Whether the engraver's fingerprints can be compared here."""
    noted = json.loads(GOLDEN.read_text(encoding="utf-8"))["libraries"]
    return bool(noted == library_versions())


def moved(old: dict[str, dict[str, object]], new: dict[str, dict[str, object]]) -> list[str]:
    """Recipes with other output under the same number."""
    return [
        recipe
        for recipe, row in new.items()
        if recipe in old
        and old[recipe]["recipe"] == row["recipe"]
        and old[recipe]["sha256"] != row["sha256"]
    ]


def main(words: list[str]) -> int:
    new = current()
    wrong = moved(stored(), new) if GOLDEN.exists() and "--anew" not in words else []
    if wrong:
        print(f"give these a new number in pack/recipes.py first: {', '.join(wrong)}")
        return 1
    document = {"libraries": library_versions(), "recipes": new}
    GOLDEN.write_text(json.dumps(document, indent=2) + "\n", encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
