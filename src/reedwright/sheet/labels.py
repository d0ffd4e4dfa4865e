"""What is said over a line of music: tempo, names of licks, words on how to play.

Before engraving, what stands together in the score becomes one `Label`, and a short key takes
its place; `labelrow` sets the labels where the engraver put the keys. Conventions: a name is a
rehearsal mark; words and dynamics that follow it before the next note belong to it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TypeAlias

from lxml import etree

Element: TypeAlias = "etree._Element"

_SAID = frozenset({"words", "rehearsal"})
_NAME_LENGTH, _WORDS_LENGTH = 40, 60  # characters; so that a label fits its line, by trial
# The words of the tune file for the usual signs.
_LOUDNESS = {"pp": "very soft", "p": "soft", "mf": "medium", "f": "loud", "ff": "very loud"}
_BEATS = {"half": "\U0001d15e", "quarter": "♩", "eighth": "♪"}


@dataclass(frozen=True, slots=True)
class Label:
    """One thing said over the music: `beat` "♩" with `tempo` "= 96, Shuffle"; name; words.

    `feel` is set while the words are those of a feel, which belong to the tempo before them.
    """

    beat: str = ""
    tempo: str = ""
    name: str = ""
    words: str = ""
    feel: bool = False

    def joined(self, other: Label) -> Label:
        """This label with what another says right after it."""
        if self.beat and other.feel:
            return replace(self, tempo=f"{self.tempo}, {other.words}")
        return Label(
            other.beat or self.beat,
            other.tempo or self.tempo,
            _clip(" · ".join(filter(None, (self.name, other.name))), _NAME_LENGTH),
            _clip(", ".join(filter(None, (self.words, other.words))), _WORDS_LENGTH),
        )


def tidy(text: str | None) -> str:
    """The text on one line, with single blanks; nothing for None."""
    return " ".join((text or "").split())


def take_labels(measure: Element, labels: list[Label]) -> None:
    """Move the labels of a bar to the end of `labels`, and leave their places there as keys."""
    keeper: Element | None = None
    first_note = True
    for child in list(measure):
        if child.tag == "note":
            keeper, first_note = None, False
        elif child.tag == "direction":
            label = _read(child)
            if label == Label():
                _drop_empty(child)
            elif keeper is None:
                keeper = child
                _leave_key(child, str(len(labels)), at_start=first_note)
                labels.append(label)
            else:
                labels[-1] = labels[-1].joined(label)
                measure.remove(child)


def _drop_empty(direction: Element) -> None:
    """Take out words that say nothing; the engraver keeps what it can draw itself."""
    for kind in direction.findall("direction-type"):
        if all(child.tag in _SAID for child in kind):
            direction.remove(kind)
    parent = direction.getparent()
    if direction.find("direction-type") is None and parent is not None:
        parent.remove(direction)


def _read(direction: Element) -> Label:
    """What a direction says; an empty label when the engraver should draw it as it is."""
    beat, tempo = _tempo(direction.find("direction-type/metronome"))
    name = tidy(direction.findtext("direction-type/rehearsal"))
    words = [tidy(word.text) for word in direction.findall("direction-type/words")]
    for dynamics in direction.findall("direction-type/dynamics"):
        words += [_LOUDNESS.get(str(sign.tag), str(sign.tag)) for sign in dynamics]
    feel = direction.find("sound/swing") is not None
    return replace(
        Label().joined(Label(beat, tempo, name, ", ".join(filter(None, words)))), feel=feel
    )


def _tempo(metronome: Element | None) -> tuple[str, str]:
    if metronome is None or not metronome.findtext("per-minute"):
        return "", ""
    beat = _BEATS.get(metronome.findtext("beat-unit") or "", "")
    dot = "." if metronome.find("beat-unit-dot") is not None else ""
    return (beat + dot, f"= {tidy(metronome.findtext('per-minute'))}") if beat else ("", "")


def _leave_key(direction: Element, key: str, *, at_start: bool) -> None:
    """A short text in place of the label: a rehearsal mark, which the engraver sets over the
    chords but always at the start of a bar, or words, which it sets at their note."""
    for old in list(direction):
        direction.remove(old)
    direction.set("placement", "above")
    kind = etree.SubElement(direction, "direction-type")
    holder = (
        etree.SubElement(kind, "rehearsal", {"enclosure": "none"})
        if at_start
        else etree.SubElement(kind, "words")
    )
    holder.text = key


def _clip(text: str, length: int) -> str:
    return text if len(text) <= length else text[: length - 1].rstrip() + "…"
