"""What a file says about itself: title, artist, tempo, and how it was made.

Conventions: text as written, in UTF-8; a line break becomes a space. MP3 files get an ID3v2.4 tag
(source: its informal standard) because the encoder's own knows no letters beyond Latin-1;
everything else gets its own kind of tag from the library.
"""

from __future__ import annotations

from dataclasses import dataclass

_UTF8 = b"\x03"
MOST_CHARS = 500
"""A tag is for the display of a player."""


@dataclass(frozen=True, slots=True)
class Tags:
    """`comment`: harp, tempo and kind in words. `tempo_bpm` in whole beats, 0 for none."""

    title: str
    artist: str = ""
    album: str = ""
    comment: str = ""
    tempo_bpm: int = 0

    def __post_init__(self) -> None:
        for name in ("title", "artist", "album", "comment"):
            object.__setattr__(self, name, _one_line(getattr(self, name)))

    def as_words(self) -> dict[str, str]:
        """The tags that hold something."""
        names = ("title", "artist", "album", "comment")
        return {name: getattr(self, name) for name in names if getattr(self, name)}


def _one_line(text: str) -> str:
    shown = "".join(sign if sign.isprintable() else " " for sign in text[:MOST_CHARS])
    return " ".join(shown.split())


def id3(tags: Tags) -> bytes:
    """The tag to stand before an MP3 stream."""
    frames = [_text_frame(b"TIT2", tags.title), _text_frame(b"TPE1", tags.artist)]
    frames.append(_text_frame(b"TALB", tags.album))
    frames.append(_text_frame(b"TBPM", str(tags.tempo_bpm) if tags.tempo_bpm else ""))
    if tags.comment:
        frames.append(_frame(b"COMM", _UTF8 + b"eng\x00" + tags.comment.encode()))
    body = b"".join(frames)
    return b"ID3\x04\x00\x00" + _syncsafe(len(body)) + body


def _text_frame(name: bytes, text: str) -> bytes:
    return _frame(name, _UTF8 + text.encode()) if text else b""


def _frame(name: bytes, body: bytes) -> bytes:
    return name + _syncsafe(len(body)) + b"\x00\x00" + body


def _syncsafe(size: int) -> bytes:
    """A size in four bytes of seven bits."""
    return bytes((size >> shift) & 0x7F for shift in (21, 14, 7, 0))
