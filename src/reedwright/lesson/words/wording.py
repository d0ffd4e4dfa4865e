"""The wording of a language, from `data/words-XX.toml`.

Conventions: `word` sections hold single words and phrases by name; sections of sentences hold lists
of templates, and a template is known by its section, kind and place (`begin.on-one.3`). A template
is filled with `str.format` from named texts only.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from string import Formatter
from typing import Any

from reedwright.errors import Problem, SettingError

LANGUAGE = "en"
SENTENCES = ("begin", "tune", "first", "next", "alike", "role", "air", "hands", "force", "fault")
VOCABULARY = (
    *("word", "depth", "bend", "mark", "count", "simple", "compound", "place"),
    *("chord", "role-name", "degree", "script"),
)


@dataclass(frozen=True, slots=True)
class Template:
    """One way to say something. `pattern`: its name, for counting how often it is heard."""

    pattern: str
    text: str

    @property
    def fields(self) -> frozenset[str]:
        """The names that are filled in."""
        return frozenset(name for _, name, _, _ in Formatter().parse(self.text) if name)


@dataclass(frozen=True, slots=True)
class Wording:
    """The words of one language: single ones by section and name, templates by `section.kind`."""

    language: str
    words: Mapping[str, Mapping[str, Any]]
    templates: Mapping[str, tuple[Template, ...]]

    def word(self, section: str, name: str, /, **filled: object) -> str:
        """A phrase of the vocabulary with its gaps filled. Errors: KeyError."""
        text: str = self.words[section][name]
        return text.format(**filled) if filled else text

    def ways(self, kind: str) -> tuple[Template, ...]:
        """All the ways to say a kind of thing. Errors: KeyError."""
        return self.templates[kind]


@cache
def wording(language: str = LANGUAGE) -> Wording:
    """The words of a language that comes with the program. Errors: SettingError."""
    path = files("reedwright.lesson").joinpath("data", f"words-{language}.toml")
    if not language.isalpha() or not path.is_file():
        problem = Problem(f"no words for the language {language!r}", "There is a file for each")
        raise SettingError(problem)
    return read_wording(path.read_text(encoding="utf-8"), f"words-{language}.toml")


def read_wording(text: str, name: str) -> Wording:
    """Words from TOML text. Errors: SettingError for what cannot be used, all in one go."""
    try:
        table = tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        raise SettingError(Problem(f"{name} is not TOML: {error}")) from None
    missing = [one for one in (*VOCABULARY, *SENTENCES) if not isinstance(table.get(one), dict)]
    if missing:
        raise SettingError(
            Problem(f"{name} has no {', '.join(missing)}", "Every section is needed", "add them")
        )
    templates = {
        f"{section}.{kind}": tuple(
            Template(f"{section}.{kind}.{number}", line) for number, line in enumerate(lines, 1)
        )
        for section in SENTENCES
        for kind, lines in table[section].items()
    }
    words = {section: table[section] for section in VOCABULARY}
    return Wording(str(table.get("language", "")), words, templates)
