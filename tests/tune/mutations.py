"""Damage to the text of a tune, as a slip of the hand, an editor or a broken disk would do it.

Grammar-aware: pieces of other tokens, lines and numbers are put where they do not belong, so that
what comes out looks nearly right. Takes a `random.Random`, so that the suite and the soak share it.
"""

import random
import re

from reedwright.errors import TuneError
from reedwright.tune.place import Score, place
from reedwright.tune.read import read_text, read_tune
from reedwright.tune.write import write_tune

PIECES = (
    "4d", "3d''", "1+2d", "4x5d@3", "(4d)", "6bo", "=", ".", "&", "&&", "'", "’", '"', "@", "@1/0",
    "@0.333", "/", "\\", "!", "(", ")", "{", "}", "{loud}", "{cup open, soft}", "{loud, soft}",
    "as", "as Call", "as Nope, bars 2-1", "rest", "Lick", "Lick A", "lick a (loud)", "Chorus",
    "Chorus 2", "Chorus, 999 times", "chorus:", "> x", "# x", ":", ",", "|", "%", "0", "1", "99999",
    "9" * 400, "٣", "²", "१", "①", "Ⅳ", "\t", "\u00a0", "\u3000", "\u200b", "\ufeff", "\x00",
    "\x1b[31m", "\x85", "\u2028", "\u202e", "\ud800", "\uffff", "<b>&amp;</b>", "#set text(9pt)",
    "Meter: 3/4", "Tab: signed", "-4", "Form: %", "Title:", "Harp: low Z", "  ", "\n", "\r",
    "\r\n", "é", "😀",
    "(" * 50, "from bar 0", ", to bar 1 beat 9", ", 2 times", "twice", "1-3:", "Tuning: ../x.toml",
)  # fmt: skip
_TOKENS = re.compile(r"\s+|[A-Za-z]+|[0-9]+|.", re.DOTALL)


def mutated(text: str, other: str, rng: random.Random) -> str:
    """The text with one to four kinds of damage; `other` is a tune to borrow pieces from."""
    for _ in range(rng.randint(1, 4)):
        text = rng.choice(_WAYS)(text, other, rng)
    return text


def _token(text: str, other: str, rng: random.Random) -> str:
    tokens = _TOKENS.findall(text) or [""]
    at = rng.randrange(len(tokens))
    strange = rng.choice([*PIECES, *(_TOKENS.findall(other) or [""])])
    tokens[at : at + rng.randint(0, 2)] = [strange]
    return "".join(tokens)


def _line(text: str, other: str, rng: random.Random) -> str:
    lines, others = text.split("\n"), other.split("\n")
    at = rng.randrange(len(lines))
    way = rng.randrange(4)
    if way == 0:
        del lines[at]
    elif way == 1:
        lines.insert(at, rng.choice(others))
    elif way == 2:
        lines[at] = rng.choice(["  ", "\t", "x "]) + lines[at]
    else:
        rng.shuffle(lines)
    return "\n".join(lines)


def _number(text: str, _: str, rng: random.Random) -> str:
    spots = list(re.finditer("[0-9]+", text))
    if not spots:
        return text
    spot = rng.choice(spots)
    number = rng.choice(["0", "1", "17", "999", "99999", "100000", "-1", "1.5", "1e9", "9" * 400])
    return text[: spot.start()] + number + text[spot.end() :]


def _cut(text: str, _: str, rng: random.Random) -> str:
    start = rng.randrange(len(text) + 1)
    return text[:start] + text[start + rng.randint(0, 40) :]


_WAYS = (_token, _token, _line, _number, _cut)

MAX_WORDS = 1200
"""Characters of one problem: a screenful, however long what was found."""


def outcome(text: str) -> Score | TuneError:
    """A tune or an error, and nothing else; what each must keep to is asserted here."""
    try:
        tune = read_tune(text, "x.reed")
    except TuneError as error:
        check_error(error, text)
        return error
    written = write_tune(tune.text, tune.signed)
    again, signed = read_text(written)
    assert again == tune.text
    assert signed == tune.signed
    assert write_tune(again, signed) == written
    score = place(tune)
    check_score(score)
    return score


def check_error(error: TuneError, text: str) -> None:
    """Every problem names a place of the file, and a rule or a mend; its words can be shown."""
    assert error.problems
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    for problem in error.problems:
        assert 1 <= problem.place.line <= len(lines), problem
        assert 1 <= problem.place.column <= len(lines[problem.place.line - 1]) + 1, problem
        assert problem.rule or problem.mend, problem
        assert str(problem).isprintable(), problem
        assert len(str(problem)) <= MAX_WORDS, problem
        assert str(problem).encode("utf-8")
    places = [(problem.place.line, problem.place.column) for problem in error.problems]
    assert places == sorted(places)


def check_score(score: Score) -> None:
    """One line of music, each event with a name of its own, inside the tune."""
    beats = score.tune.meter.beats
    ids = [event.id for event in score.events]
    assert len(set(ids)) == len(ids)
    for event in score.events:
        assert event.length > 0
        assert -beats <= event.start
        assert event.end <= score.bars * beats
        assert 1 <= event.beat < beats + 1
        assert event.bar >= 1 or (event.bar == 0 and event.chorus == 1 and event.start < 0)
    for before, after in zip(score.events, score.events[1:], strict=False):
        assert before.end <= after.start
