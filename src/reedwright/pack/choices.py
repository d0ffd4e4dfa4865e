"""What a teacher chooses about the sheets and the recordings of a pack.

Conventions: `tempo_bpm` in counted beats a minute, None for the tune's full tempo. Light to import:
an unchanged pack needs nothing more.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import Any

from reedwright.errors import FileError
from reedwright.files import reason
from reedwright.sheet.document import Paper
from reedwright.sheet.options import TabStyle


@dataclass(frozen=True, slots=True)
class Audio:
    """What recordings are made, and with what.

    Attributes:
        formats: endings of the files, `mp3`, `flac` …; none for no recordings.
        harps: other harps to play the same tab on, as people name them.
        stems: the harp and each part of the band by themselves, too.
        seed: chooses among all the ways the band and the harp could play.
        style: the band's style, the tune's own when it is empty.
        amp: an amp file, None for the usual rig.
        soundfont: a SoundFont that plays the band, None for our own instruments.
    """

    formats: tuple[str, ...] = ()
    harps: tuple[str, ...] = ()
    stems: bool = False
    seed: int = 0
    style: str = ""
    amp: Path | None = None
    soundfont: Path | None = None

    def as_json(self) -> dict[str, Any]:
        """All that shapes the recordings; files by their SHA-256. Errors: FileError."""
        return {
            "formats": list(self.formats),
            "harps": list(self.harps),
            "stems": self.stems,
            "seed": self.seed,
            "style": self.style,
            "amp": _digest(self.amp),
            "soundfont": _digest(self.soundfont),
        }


def _digest(path: Path | None) -> str | None:
    if path is None:
        return None
    try:
        if path.exists() and not path.is_file() and not path.is_dir():
            raise FileError(str(path), "not a plain file", "name a file")  # a pipe never ends
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except FileError:
        raise
    except OSError as error:
        mend = "check its name and your rights to it"
        raise FileError(str(path), reason(error), mend) from None


@dataclass(frozen=True, slots=True)
class Choices:
    """Paper, kind of tab, the tempo printed and played, and the recordings."""

    paper: Paper = "a4"
    tab: TabStyle = TabStyle.SIGNS
    tempo_bpm: Fraction | None = None
    audio: Audio = field(default_factory=Audio)

    def as_json(self) -> dict[str, Any]:
        tempo = None if self.tempo_bpm is None else str(self.tempo_bpm)
        audio = self.audio.as_json() if self.audio.formats else None
        paper, tab = self.paper, self.tab.value
        return {"paper": paper, "tab": tab, "tempo_bpm": tempo, "audio": audio}
