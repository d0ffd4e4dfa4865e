"""A report as text for a terminal: each finding beneath the line of the tune it is about.

Conventions: the source line is shown as written, at most `WIDTH` characters of it round the place,
with a caret under the token; then what was found and the mend. Colours (ANSI) only when asked for.
Nothing of a tune's text reaches the terminal but printable characters.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from reedwright.check.check import Report
from reedwright.harmony.roles import Role
from reedwright.harmony.tones import EventHarmony
from reedwright.tune.findings import Finding, Severity
from reedwright.tune.quote import quoted

WIDTH = 88
"""Characters of a source line shown, so that it fits a usual terminal with its number."""

MAX_SHOWN = 100
"""Findings printed, as many as problems of a file that cannot be read; the JSON holds all."""

_END = "\x1b[0m"
_COLOURS = {Severity.ERROR: "\x1b[31m", Severity.WARNING: "\x1b[33m", Severity.ADVICE: "\x1b[36m"}
_BETWEEN = " \t&{}"


def report_text(report: Report, source_lines: Sequence[str] = (), colour: bool = False) -> str:
    """The findings beside their source lines, then one line that sums up."""
    shown = _gravest(report.findings)
    blocks = [_block(finding, source_lines, colour) for finding in shown]
    left = len(report.findings) - len(shown)
    if left:
        blocks.append(f"{left:,} more are not shown here: mend these first.")
    return "\n\n".join([*blocks, summary(report)])


def _gravest(findings: Sequence[Finding]) -> list[Finding]:
    """The first `MAX_SHOWN` of the gravest, still in the order of the tune."""
    order = list(Severity)
    gravest = sorted(range(len(findings)), key=lambda n: order.index(findings[n].severity))
    return [findings[number] for number in sorted(gravest[:MAX_SHOWN])]


def _block(finding: Finding, source_lines: Sequence[str], colour: bool) -> str:
    word = finding.severity.value
    head = f"{_COLOURS[finding.severity]}{word}{_END}" if colour else word
    place = [f"line {finding.line}"] * bool(finding.line) + [finding.where] * bool(finding.where)
    place += [finding.lick] * bool(finding.lick)
    lines = [f"{head} ({finding.check})" + f", {', '.join(place)}" * bool(place)]
    if 0 < finding.line <= len(source_lines):
        lines += _quoted(finding, source_lines[finding.line - 1])
    lines += _wrapped(_sentence(finding.found), "  ")
    if finding.mend:
        lines += _wrapped(_sentence(finding.mend, upper=False), "  Mend: ")
    return "\n".join(lines)


def _quoted(finding: Finding, source: str) -> list[str]:
    """The source line, and a caret under the token where the column is known."""
    shown = quoted(source, finding.column, WIDTH)
    lines = [f"  {finding.line:>4} | {shown.text.rstrip()}"]
    if 0 < finding.column <= len(source):
        carets = "^" * _token_length(shown.text, shown.at)
        lines.append(f"  {'':>4} | {' ' * shown.cells}{carets}")
    return lines


def _token_length(text: str, start: int) -> int:
    end = start
    while end < len(text) and text[end] not in _BETWEEN:
        end += 1
    return max(1, end - start)


def _wrapped(text: str, lead: str) -> list[str]:
    """Words in lines as wide as the source shown above them, the later ones set in."""
    wide = WIDTH + len("     1 | ")
    return textwrap.wrap(
        text,
        wide,
        initial_indent=lead,
        subsequent_indent=" " * len(lead),
        break_on_hyphens=False,
        break_long_words=False,
    )


def _sentence(text: str, upper: bool = True) -> str:
    text = text[:1].upper() + text[1:] if upper else text
    return text if text.endswith((".", "!", "?")) else text + "."


def summary(report: Report) -> str:
    """One line: what there is to mend, and how the tune stands."""
    score = report.score
    counts = [_counted(report, severity) for severity in Severity]
    said = [count for count in counts if count]
    wrong = ", ".join(said) if said else "nothing to mend"
    notes = len(score.events)
    size = f"{score.bars} bar{'s' * (score.bars != 1)}, {notes} sound{'s' * (notes != 1)}"
    landed = _landings(report.tones)
    title = "".join(sign for sign in score.tune.title if sign.isprintable())
    return f"{title}: {wrong}. {size}{landed}."


def _counted(report: Report, severity: Severity) -> str:
    number = len(report.of(severity))
    if not number:
        return ""
    if severity is Severity.ADVICE:
        return f"{number} piece{'s' * (number != 1)} of advice"
    return f"{number} {severity.value}{'s' * (number != 1)}"


def _landings(rows: tuple[EventHarmony, ...]) -> str:
    """How the changes of chord are met: on a tone of the new chord, on its root."""
    landed = [row for row in rows if row.landing and row.tones and row.tones[0] is not None]
    if not landed:
        return ""
    heard = [[tone for tone in row.tones if tone is not None] for row in landed]
    on_tone = sum(any(tone.in_chord for tone in tones) for tones in heard)
    on_root = sum(any(tone.role is Role.ROOT for tone in tones) for tones in heard)
    return (
        f". Chord changes: {len(landed)}; met on a tone of the new chord: {on_tone}; "
        f"on its root: {on_root}"
    )
