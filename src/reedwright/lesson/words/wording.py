"""The wording of a language, from `data/words-XX.toml`.

Conventions: `word` sections hold single words and phrases by name; sections of sentences hold lists
of templates, and a template is known by its section, kind and place (`begin.on-one.3`). A template
is filled with `str.format` from named texts only.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from string import Formatter
from typing import Any

from reedwright.errors import Problem, SettingError
from reedwright.lesson.words.gaps import GAPS

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
    name = f"words-{language}.toml"
    if not language.isalpha() or not files("reedwright.lesson").joinpath("data", name).is_file():
        problem = Problem(f"no words for the language {language!r}", "There is a file for each")
        raise SettingError(problem)
    return read_wording(_text(language), name)


def read_wording(text: str, name: str) -> Wording:
    """Words from TOML text. Errors: SettingError for what cannot be used, all in one go.

    Another language has the words and the kinds of sentences that English has.
    """
    try:
        table = tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        raise SettingError(Problem(f"{name} is not TOML: {error}")) from None
    missing = [one for one in (*VOCABULARY, *SENTENCES) if not isinstance(table.get(one), dict)]
    if missing:
        found = f"{name} has no {', '.join(missing)}"
        raise SettingError(Problem(found, "Every section is needed", "add them"))
    faults = [*_faulty_kinds(table), *_faulty_words(table)]
    if faults:
        found = f"{name}: {'; '.join(faults)}"
        raise SettingError(Problem(found, "Names and gaps are those of words-en.toml"))
    templates = {
        kind: tuple(Template(f"{kind}.{n}", line) for n, line in enumerate(_lines(table, kind), 1))
        for kind in GAPS
    }
    words = {section: table[section] for section in VOCABULARY}
    return Wording(str(table.get("language", "")), words, templates)


def _lines(table: Mapping[str, Any], kind: str) -> list[Any]:
    """The sentences of a kind; none where there is no list of them."""
    section, _, name = kind.partition(".")
    lines = table[section].get(name)
    return lines if isinstance(lines, list) else []


def _faulty_kinds(table: Mapping[str, Any]) -> Iterator[str]:
    """What is wrong with the sentences."""
    for kind, gaps in GAPS.items():
        lines = _lines(table, kind)
        if not lines:
            yield f"{kind} has no sentences"
        for number, line in enumerate(lines, 1):
            if not isinstance(line, str) or not gaps_of(line) <= gaps:
                yield f"{kind}.{number} cannot be filled"


def _faulty_words(table: Mapping[str, Any]) -> Iterator[str]:
    """What is wrong with the single words, measured by the English ones."""
    english = tomllib.loads(_text(LANGUAGE))
    for section in VOCABULARY:
        for name, word in english[section].items():
            said = table[section].get(name)
            if type(said) is not type(word):
                yield f"{section}.{name} is missing"
            elif isinstance(word, str) and not gaps_of(said) <= gaps_of(word):
                yield f"{section}.{name} cannot be filled"
            elif isinstance(word, list) and not (
                len(said) == len(word) and all(isinstance(one, str) for one in said)
            ):
                yield f"{section}.{name} is not {len(word)} words"


_BROKEN = frozenset({"{}"})


def gaps_of(text: str) -> frozenset[str]:
    """The names between braces; something no table has where the braces make no sense.

    >>> sorted(gaps_of("{hole} {breath}")), gaps_of("{x!r}") == gaps_of("{")
    (['breath', 'hole'], True)
    """
    try:
        parts = list(Formatter().parse(text))
    except ValueError:
        return _BROKEN
    if any(form or turned for _, name, form, turned in parts if name is not None):
        return _BROKEN
    return frozenset(name for _, name, _, _ in parts if name is not None)


@cache
def _text(language: str) -> str:
    path = files("reedwright.lesson").joinpath("data", f"words-{language}.toml")
    return path.read_text(encoding="utf-8")
