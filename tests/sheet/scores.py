"""Small scores written by hand, for the engraver's tests; every text is the test's own.

Times are in twelfths of a quarter. A note is written "G4:6" (pitch, length), a chord "D4+G4:12",
a rest "r:12"; tab follows after a blank, the lines of a stack parted by "/": "D4+G4:12 −2/−1".
"""

import re
from dataclasses import dataclass
from xml.sax.saxutils import escape

TYPES = {
    48: "whole",
    36: "half",
    24: "half",
    18: "quarter",
    12: "quarter",
    6: "eighth",
    4: "eighth",
    3: "16th",
}
DOTTED = {36, 18}


@dataclass(frozen=True)
class Written:
    """One note of a hand-written bar; `extra` goes into its notations."""

    text: str
    count: str = ""
    technique: str = ""
    extra: str = ""

    def xml(self) -> str:
        sounds, _, tab = self.text.partition(" ")
        pitches, _, length = sounds.partition(":")
        parts = [self._note(pitch, int(length), at) for at, pitch in enumerate(pitches.split("+"))]
        lines = [("tab", line) for line in tab.split("/") if line]
        lines += [("technique", self.technique)] if self.technique else []
        lines += [("count", self.count)] if self.count else []
        lyrics = "".join(
            f'<lyric number="{at}" name="{name}"><text>{escape(said)}</text></lyric>'
            for at, (name, said) in enumerate(lines, 1)
        )
        parts[0] = parts[0].replace("</note>", f"{lyrics}</note>")
        return "".join(parts)

    def _note(self, pitch: str, length: int, at: int) -> str:
        if pitch == "r":
            body = "<rest/>"
        else:
            alter = f"<alter>{pitch.count('#') - pitch[1:].count('b')}</alter>"
            body = f"<pitch><step>{pitch[0]}</step>{alter}<octave>{pitch[-1]}</octave></pitch>"
        triplet = (
            "<time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes>"
            "</time-modification>"
            if length == 4
            else ""
        )
        accidental = "<accidental>flat</accidental>" if "b" in pitch[1:] else ""
        notations = f"<notations>{self.extra}</notations>" if self.extra and at == 0 else ""
        return (
            f"<note>{'<chord/>' * (at > 0)}{body}<duration>{length}</duration><voice>1</voice>"
            f"<type>{TYPES[length]}</type>{'<dot/>' * (length in DOTTED)}{accidental}{triplet}"
            f"{notations}</note>"
        )


def chord(root: str, kind: str = "dominant", alter: int = 0) -> str:
    altered = f"<root-alter>{alter}</root-alter>" if alter else ""
    return (
        f"<harmony><root><root-step>{root}</root-step>{altered}</root><kind>{kind}</kind></harmony>"
    )


def direction(content: str) -> str:
    return f'<direction placement="above"><direction-type>{content}</direction-type></direction>'


def rehearsal(name: str) -> str:
    return direction(f"<rehearsal>{escape(name)}</rehearsal>")


def words(text: str) -> str:
    return direction(f"<words>{escape(text)}</words>")


def feel(text: str) -> str:
    swing = "<sound><swing><first>2</first><second>1</second></swing></sound>"
    return words(text).replace("</direction>", f"{swing}</direction>")


def tempo(bpm: int, dot: bool = False) -> str:
    dotted = "<beat-unit-dot/>" if dot else ""
    beat = f"<beat-unit>quarter</beat-unit>{dotted}<per-minute>{bpm}</per-minute>"
    return direction(f"<metronome>{beat}</metronome>")


def notes(*texts: str | Written) -> str:
    return "".join((each if isinstance(each, Written) else Written(each)).xml() for each in texts)


def score(bars: list[str], *, lines: int = 4, pickup: bool = True, title: str = "") -> str:
    """Bars put together; a new line every `lines` bars, the pickup (bar 0) on the first."""
    first = 0 if pickup else 1
    parts = []
    for number, bar in enumerate(bars, first):
        new = number > 1 and (number - 1) % lines == 0
        implicit = "" if number else ' implicit="yes"'
        opening = f'<measure number="{number}"{implicit}>' + '<print new-system="yes"/>' * new
        parts.append(opening + ATTRIBUTES * (number == first) + bar + "</measure>")
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n<score-partwise version="4.0">'
        f"<work><work-title>{escape(title)}</work-title></work>"
        "<identification><creator>A. Teacher</creator></identification>"
        '<part-list><score-part id="P1"><part-name/></score-part></part-list>'
        f'<part id="P1">{"".join(parts)}</part></score-partwise>'
    )


ATTRIBUTES = (
    "<attributes><divisions>12</divisions><key><fifths>1</fifths></key>"
    "<time><beats>4</beats><beat-type>4</beat-type></time>"
    "<clef><sign>G</sign><line>2</line></clef></attributes>"
)
LONG = notes("G4:12 −2", "B4:6 −3", "D5:6 −4", "D5:12 −4′", "G4:12 −2")
CHORDS = notes(
    "D4+G4+B4:6 −3/−2/−1", "C4+E4+G4:6 3/2/1", "D4+G4:12 −2/−1", "C4+E4+G4+C5:12 1–4", "r:12"
)
TRIPLET = notes("D5:4 −4", "F5:4 −5", "D5:4 −4", "B4:6 −3", "Bb4:6 −3′", "G4:24 −2")
RUN = notes("G4:6 −2", "Bb4:6 −3′", "B4:6 −3", "D5:6 −4", "F5:6 −5", "G5:6 6", "F5:6 −5", "D5:6 −4")
PICKUP = notes("r:36", Written("D5:6 −4", count="4"), Written("B4:6 −3", count="&"))


def twelve_bars(title: str = "Slow Bus") -> str:
    """A pickup, chords, triplets and swung eighths over a quick change in G."""
    roots = "GCGGCCGGDCGD"
    patterns = (LONG, CHORDS, TRIPLET, RUN)
    bars = [tempo(96) + PICKUP]
    labels = {
        0: rehearsal("Call") + words("cup closed"),
        2: rehearsal("Train"),
        8: rehearsal("Climb"),
    }
    for at, root in enumerate(roots):
        bars.append(labels.get(at, "") + chord(root) + patterns[(at + at // 4) % 4])
    return score(bars, title=title)


def tokens(*bars: str) -> list[str]:
    """The tab of hand-written bars in reading order: note by note, the top line first."""
    return re.findall(r'name="tab"><text>([^<]+)</text>', "".join(bars))
