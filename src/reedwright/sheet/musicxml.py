"""A placed tune as MusicXML 4.0, partwise: staff, tab, chords, names and everything said of them.

Conventions: one part, one voice. Choruses are written out, none is folded. The same score and
options give the same text. Source: MusicXML 4.0 (W3C); what stands where: docs/sheets.md.
"""

from __future__ import annotations

from reedwright.sheet.barxml import BarWriter
from reedwright.sheet.options import SheetOptions
from reedwright.sheet.rhythm import notate
from reedwright.sheet.scorehead import score_head
from reedwright.tune.place import Score

_END = "</part>\n</score-partwise>\n"


def musicxml(score: Score, options: SheetOptions | None = None) -> str:
    """The score as MusicXML text, to be stored as UTF-8.

    Errors: SheetError for a note the harp does not have, or one that cannot be written.
    """
    options = options or SheetOptions()
    rhythm = notate(score)
    writer = BarWriter(score, options, rhythm)
    bars = [writer.bar(at) for at in range(len(rhythm.bars))]
    return "".join([score_head(score), *bars, _END])
