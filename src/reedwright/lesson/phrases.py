"""Words of plans, take lists and captions in one language, from `data/plan-XX.toml`.

Conventions: phrases by section and name, filled with `str.format` from named texts only.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from reedwright.errors import Problem, SettingError
from reedwright.harp.pitch import shown
from reedwright.lesson.words.wording import LANGUAGE


@dataclass(frozen=True, slots=True)
class Phrases:
    """Phrases of one language."""

    language: str
    sections: Mapping[str, Mapping[str, str]]

    def say(self, section: str, name: str, /, **filled: object) -> str:
        """A phrase with its gaps filled. Errors: KeyError."""
        text = self.sections[section][name]
        return text.format(**filled) if filled else text

    def time(self, seconds: float) -> str:
        """A length as it is spoken, to the second; from an hour on to the minute.

        >>> phrases().time(59.6), phrases().time(200), phrases().time(3_700)
        ('1 min', '3 min 20 s', '1 h 2 min')
        """
        whole = round(seconds)
        if whole >= 3600:
            minutes = round(seconds / 60)
            return self.say("time", "h-min", h=minutes // 60, min=minutes % 60)
        name = "s" if whole < 60 else "min-s" if whole % 60 else "min"
        return self.say("time", name, min=whole // 60, s=whole % 60)

    def rounds(self, count: int) -> str:
        """`once`, `twice`, `3 times`."""
        name = f"rounds-{count}"
        name = name if name in self.sections["take"] else "rounds-n"
        return self.say("take", name, count=count)


@cache
def phrases(language: str = LANGUAGE) -> Phrases:
    """The phrases of a language that comes with the program. Errors: SettingError."""
    path = files("reedwright.lesson").joinpath("data", f"plan-{language}.toml")
    if not language.isalpha() or not path.is_file():
        problem = Problem(
            f"no plan words for the language {shown(language)}", "There is a file each"
        )
        raise SettingError(problem)
    table = tomllib.loads(path.read_text(encoding="utf-8"))
    return Phrases(table.pop("language"), table)
