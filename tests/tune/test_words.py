"""Every error of a tune file by its exact words: the examples in `words.txt`.

Each example is a tune (with a plain header before it, unless it says `(nothing before)`), a line of
dashes, and the errors it gives. After a change of wording, read what
``python -m tests.tune.test_words`` writes before you commit it.
"""

from pathlib import Path

import pytest

from reedwright.errors import TuneError
from reedwright.tune.read import read_tune

WORDS = Path(__file__).with_name("words.txt")
HEAD = "Title: T\nHarp: A\nPosition: 2\n"
_BARE = "(nothing before)\n"
_BETWEEN, _DASHES = "\n====\n", "\n----\n"


def examples() -> list[tuple[str, str]]:
    """Tune and expected errors of every example."""
    blocks = WORDS.read_text(encoding="utf-8").rstrip("\n").split(_BETWEEN)
    return [(tune, errors) for tune, _, errors in (block.partition(_DASHES) for block in blocks)]


def errors_of(example: str) -> str:
    """The errors of an example, a line each, places without the file's name."""
    bare = example.startswith(_BARE)
    text = example.removeprefix(_BARE) if bare else HEAD + example
    try:
        read_tune(text + "\n")
    except TuneError as error:
        return "\n".join(str(problem).removeprefix("line:") for problem in error.problems)
    return "no error"


@pytest.mark.parametrize(("tune", "errors"), examples())
def test_words(tune: str, errors: str) -> None:
    assert errors_of(tune) == errors


def test_there_is_an_example_of_most_errors() -> None:
    assert len(examples()) > 100
    assert all(errors != "no error" for _, errors in examples())


if __name__ == "__main__":
    blocks = [tune + _DASHES + errors_of(tune) for tune, _ in examples()]
    WORDS.write_text(_BETWEEN.join(blocks) + "\n", encoding="utf-8")
