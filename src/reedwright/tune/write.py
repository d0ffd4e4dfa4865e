"""A tune as text again, tidied: the formatter.

`read(write(text))` equals `text`; the music, the remarks and the comments are untouched, only
spaces, blank lines and spellings of tokens are made even.
"""

from __future__ import annotations

from reedwright.tune.cells import format_bar, format_manner
from reedwright.tune.marks import NO_MANNER
from reedwright.tune.text import heading_word
from reedwright.tune.values import (
    Bar,
    Borrow,
    Chorus,
    Comment,
    Entry,
    Header,
    Lick,
    Remark,
    TuneText,
)

WIDTH = 96
"""Header values longer than this go on in indented lines."""


def write_tune(text: TuneText, signed: bool = False) -> str:
    """The canonical text of a tune file, ending in a newline."""
    head = "\n".join(_head_line(item) for item in text.head)
    several = len(text.choruses) > 1
    blocks: list[str] = []
    number = 1
    for block in text.blocks:
        if isinstance(block, Chorus):
            blocks.append(_chorus(block, number if several else 0))
            number += block.times
        else:
            blocks.append(_lick(block, signed))
    return "\n\n".join(part for part in [head, *blocks] if part) + "\n"


def _head_line(item: Header | Remark | Comment) -> str:
    if not isinstance(item, Header):
        return _words(item)
    return _wrapped(f"{item.key}: {item.value}".rstrip())


def _wrapped(line: str) -> str:
    """The value over several lines, none of which begins like a remark, a heading or a header."""
    lines: list[str] = []
    for word in line.split(" "):
        fits = not lines or len(lines[-1]) + 1 + len(word) <= WIDTH
        like_another = word[0] in "#>" or ":" in word or word.lower() == "not" or heading_word(word)
        if lines and (fits or like_another):
            lines[-1] += f" {word}"
        else:
            lines.append(word if not lines else f"  {word}")
    return "\n".join(lines)


def _words(item: Remark | Comment) -> str:
    sign = ">" if isinstance(item, Remark) else "#"
    return f"{sign} {item.text}".rstrip()


def _chorus(chorus: Chorus, number: int) -> str:
    """A chorus; `number` stands in its heading where there are several."""
    heading = f"Chorus {number}" if number else "Chorus"
    times = f", {chorus.times} times" if chorus.times > 1 else ""
    return "\n".join([heading + times, *(_chorus_line(line) for line in chorus.lines)])


def _lick(lick: Lick, signed: bool) -> str:
    manner = f" ({format_manner(lick.manner)})" if lick.manner != NO_MANNER else ""
    lines = [_lick_line(line, signed) for line in lick.lines]
    return "\n".join([f"Lick {lick.name}{manner}", *lines])


def _lick_line(line: Bar | Borrow | Remark | Comment, signed: bool) -> str:
    if isinstance(line, Bar):
        return f"{line.number}: {format_bar(line, signed)}".rstrip()
    if isinstance(line, Borrow):
        bars = _span(line.first, line.last)
        if line.other_first is None:
            return f"{bars}: as {line.lick}"
        other = _span(line.other_first, line.other_last or line.other_first)
        return f"{bars}: as {line.lick}, bar{'s' * ('-' in other)} {other}"
    return _words(line)


def _span(first: int, last: int) -> str:
    return str(first) if first == last else f"{first}-{last}"


def _chorus_line(line: Entry | Remark | Comment) -> str:
    if not isinstance(line, Entry):
        return _words(line)
    clauses = [f"{line.bar} {line.lick or 'rest'}"]
    if line.from_bar is not None:
        clauses.append(f"from bar {line.from_bar}" + _beat(line.from_beat))
    if line.to_bar is not None:
        clauses.append(f"to bar {line.to_bar}" + _beat(line.to_beat))
    if line.times > 1:
        clauses.append(f"{line.times} {'bars' if line.is_rest else 'times'}")
    return ", ".join(clauses)


def _beat(beat: int | None) -> str:
    return "" if beat is None else f" beat {beat}"
