"""The melodies a file holds, whatever its format, and one of them read.

Conventions: bytes in, melodies out; nothing is opened here. The format is told by the file's first
bytes, ABC by its name or by a line `X:`. A book of ABC holds many tunes, numbered from 1 by their
places; any other file holds one, and a number names one of its parts. Tune files are read by
`fromtune`, since they may lean on files beside them.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from reedwright.errors import Problem, one_line
from reedwright.fit.lines import MAX_PARTS_SHOWN
from reedwright.fit.melody import MelodyError
from reedwright.fit.reading import Reading

MAX_BYTES = 8_000_000
"""The largest of the formats' own limits."""

SUFFIXES = (".mid", ".midi", ".musicxml", ".xml", ".mxl", ".abc")
_XML_STARTS = (b"<", b"\xef\xbb\xbf<", b"\xff\xfe<", b"\xfe\xff\x00<")


@dataclass(frozen=True, slots=True)
class Source:
    """One melody of a file. `number`: its place in a book, 0 where it is the only one."""

    data: bytes
    kind: str
    number: int = 0
    title: str = ""

    def read(self, part: int | None = None, tempo_bpm: Fraction | None = None) -> Reading:
        """The melody. Errors: MelodyError."""
        match self.kind:
            case "midi":
                from reedwright.fit.midifile import midi_music
                from reedwright.fit.played import reading_of_midi

                return reading_of_midi(midi_music(self.data), part, tempo_bpm)
            case "abc":
                from reedwright.fit.abcfile import abc_music
                from reedwright.fit.settle import reading_of

                return reading_of(abc_music(self.data.decode("utf-8")), part)
            case _:
                from reedwright.fit.scorefile import score_music
                from reedwright.fit.settle import reading_of

                return reading_of(score_music(self.data), part)


def sources_of(data: bytes, name: str) -> list[Source]:
    """Every melody of a file. Errors: MelodyError for what is none of the formats."""
    if data.startswith((b"MThd", b"RIFF")):
        return [Source(_without_riff(data), "midi")]
    if data.startswith(b"PK") or data.lstrip().startswith(_XML_STARTS):
        return [Source(data, "xml")]
    if name.lower().endswith(".abc") or re.search(rb"(?m)^X:", data[:100_000]):
        from reedwright.fit.abcbook import abc_text, tunes_of

        tunes = tunes_of(abc_text(data))
        return [
            Source(text.encode("utf-8"), "abc", number if len(tunes) > 1 else 0, title)
            for number, title, text in tunes
        ]
    found = "an empty file" if not data else "a file of no known format"
    raise MelodyError(
        str(
            Problem(
                found,
                f"Melodies are read from {', '.join(SUFFIXES)} and .reed",
                "export it as MusicXML or MIDI",
            )
        )
    )


def read_melody(
    data: bytes, name: str, part: int | None = None, tempo_bpm: Fraction | None = None
) -> Reading:
    """The one melody asked for: of a book its tune number `part`. Errors: MelodyError."""
    sources = sources_of(data, name)
    if len(sources) == 1:
        return sources[0].read(part, tempo_bpm)
    if part is None:
        shown = "; ".join(f"{each.number} {each.title[:40]}" for each in sources[:MAX_PARTS_SHOWN])
        more = len(sources) - MAX_PARTS_SHOWN
        rule = f"They are: {one_line(shown)}" + (f"; and {more} more" if more > 0 else "")
        mend = "choose one, such as --part 1, or see them all with --table"
        raise MelodyError(str(Problem(f"a book of {len(sources)} tunes", rule, mend)))
    if not 1 <= part <= len(sources):
        rule = f"The book has tunes 1 to {len(sources)}"
        raise MelodyError(str(Problem(f"no tune {part}", rule, "name one of them")))
    return sources[part - 1].read(None, tempo_bpm)


def _without_riff(data: bytes) -> bytes:
    """A MIDI file in a RIFF frame (.rmi) without it."""
    at = data.find(b"MThd", 0, 64)
    return data[at:] if at > 0 else data
