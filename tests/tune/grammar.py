"""The EBNF of `docs/tune-file.md` made into regular expressions, so that it can be tested.

No rule refers to itself, so each can be written out whole. `text`, `name`, `key` and `SP` are those
of the prose below the grammar.
"""

import re
from collections.abc import Iterator
from pathlib import Path

DOCS = Path(__file__).resolve().parents[2] / "docs"
_IN_WORDS = {
    "text": r"\S.*",
    "name": r"(?!rest\b)[^\W_][^,()|:{}#>]*?",
    "key": r"[A-Za-z][A-Za-z0-9 -]*?",
    "SP": " ",
}
_TOKEN = re.compile(r'"([^"]+)"|([\[\]{}()|])|([A-Za-z-]+)')
_SIGNS = {"[": "(?:", "]": ")?", "{": "(?:", "}": ")*", "(": "(?:", ")": ")", "|": "|"}


def ebnf() -> dict[str, str]:
    """The right side of every rule by its name."""
    page = (DOCS / "tune-file.md").read_text(encoding="utf-8")
    (block,) = re.findall(r"^```ebnf\n(.*?)^```", page, re.DOTALL | re.MULTILINE)
    rules = re.findall(r"^([a-z-]+)\s*=\s*(.*?)\s;$", block, re.DOTALL | re.MULTILINE)
    assert block.count(" ;\n") == len(rules)
    return dict(rules)


def terminals(rule: str) -> list[str]:
    """The quoted terminals of one rule, in order."""
    return re.findall(r'"([^"]+)"', ebnf()[rule])


def regex(rule: str) -> str:
    """A regular expression for one rule, all it refers to written out."""
    return "(?:" + "".join(_pieces(ebnf()[rule])) + ")"


def _pieces(side: str) -> Iterator[str]:
    for terminal, sign, word in _TOKEN.findall(side):
        if terminal:
            yield re.escape(terminal)
        elif sign:
            yield _SIGNS[sign]
        else:
            yield _IN_WORDS[word] if word in _IN_WORDS else regex(word)
