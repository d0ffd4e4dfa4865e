"""`script.md`: what a teacher says on camera, in the order of the lesson, for a prompter.

Conventions: CommonMark; every sentence is a paragraph of its own, so that a prompter breaks between
them. Text from the tune file is escaped: signs that mean something to Markdown are told as
themselves, and names that run from right to left leave the words around them alone.
Source: CommonMark 0.31, backslash escapes; UAX 9 for direction.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from reedwright.harp.position import position_name
from reedwright.lesson.as_json import CAUTIONS
from reedwright.lesson.study import LickStudy, PieceStudy, Study
from reedwright.lesson.words.isolate import isolated
from reedwright.lesson.words.speech import TuneWords
from reedwright.lesson.words.vocabulary import Vocabulary
from reedwright.lesson.words.wording import Wording, wording

_SPECIAL = re.compile(r"[\\`*_\[\]<>&~|#$]")
_AT_START = re.compile(r"^(?:[-+=]|\d+(?=[.)]))")


def escaped(text: str) -> str:
    """One line of text that Markdown shows as it is.

    >>> escaped("2. *Call* <b>"), escaped("- a")
    ('2\\\\. \\\\*Call\\\\* \\\\<b\\\\>', '\\\\- a')
    """
    line = _SPECIAL.sub(r"\\\g<0>", " ".join(text.split()))
    start = _AT_START.match(line)
    if start is None:
        return line
    at = start.end() if start[0][0].isdigit() else 0
    return f"{line[:at]}\\{line[at:]}"


def script_markdown(study: Study, words: TuneWords, plan: str | None = None) -> str:
    """The whole script. Linear in the notes.

    `plan`: a lesson plan in Markdown, put before the licks as it is. Errors: SettingError for a
    language there is no file for.
    """
    said = wording(words.language)
    parts = [*_head(study, said), *([plan.strip()] if plan else [])]
    for lick in study.licks:
        parts += _lick(study, lick, words, said)
    parts += [escaped(line) for line in _not_said(study, said)]
    parts += [f"## {escaped(said.word('script', 'cautions'))}", *map(escaped, CAUTIONS)]
    return "\n\n".join(parts) + "\n"


def _head(study: Study, said: Wording) -> Iterator[str]:
    tune = study.score.tune
    yield f"# {escaped(isolated(tune.title))}"
    if tune.by:
        yield escaped(said.word("script", "by", by=isolated(tune.by)))
    yield escaped(
        said.word(
            "script",
            "harp",
            harp=tune.harp.name,
            position=position_name(tune.position),
            key=tune.key_name,
            meter=tune.meter,
            feel=tune.feel.name,
        )
    )
    tempos = ", ".join(f"{float(step.tempo_bpm):g}" for step in study.ladder.steps)
    yield escaped(said.word("script", "tempos", tempos=tempos))
    yield from _remarks(tune.remarks, said)


def _remarks(remarks: Iterable[str], said: Wording) -> Iterator[str]:
    for text in remarks:
        if text.strip():
            yield escaped(said.word("script", "remark", text=isolated(text)))


def _lick(study: Study, lick: LickStudy, words: TuneWords, said: Wording) -> Iterator[str]:
    line, tune = lick.line, study.score.tune
    vocabulary = _vocabulary(study, said)
    yield f"## {escaped(isolated(line.lick))}"
    if line.placings > 1:
        times = _times(line.placings, vocabulary)
        yield escaped(said.word("script", "again", lick=isolated(line.lick), times=times))
    yield from _remarks(tune.licks[line.slug].lick.remarks, said)
    for piece in study.pieces_of(line.slug):
        yield from _piece(piece, words, vocabulary)


def _piece(found: PieceStudy, words: TuneWords, vocabulary: Vocabulary) -> Iterator[str]:
    piece = found.piece
    bar = vocabulary.bar(piece.events[0])
    heading = vocabulary.wording.word("script", "piece", number=piece.number, bar=bar)
    yield f"### {escaped(heading)}"
    for sentence in words.pieces.get(piece.id, ()):
        yield escaped(sentence.text)


def _times(count: int, vocabulary: Vocabulary) -> str:
    word = vocabulary.wording.word
    return (
        word("word", "times-2")
        if count == 2
        else word("word", "times-n", count=vocabulary.number(count))
    )


def _not_said(study: Study, said: Wording) -> Iterator[str]:
    if not study.licks:
        yield said.word("script", "nothing")
        return
    silent = [isolated(line.lick) for line in study.cutting.lines if not line.events]
    if silent:
        licks = _vocabulary(study, said).listed(silent)
        yield said.word("script", "silent", licks=licks)


def _vocabulary(study: Study, said: Wording) -> Vocabulary:
    compound, choruses = study.score.tune.meter.compound, len(study.score.order.chorus_starts)
    return Vocabulary(said, compound=compound, choruses=choruses)
