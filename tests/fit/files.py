"""Small melody files for tests: MIDI by bytes of our own, MusicXML and ABC as text."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Sequence


def number(value: int) -> bytes:
    """A variable-length quantity."""
    parts = [value & 0x7F]
    while value := value >> 7:
        parts.append(0x80 | (value & 0x7F))
    return bytes(reversed(parts))


def track(*events: bytes) -> bytes:
    """A track chunk of events, each with its delta time, and its end."""
    body = b"".join(events) + b"\x00\xff\x2f\x00"
    return b"MTrk" + len(body).to_bytes(4, "big") + body


def midi(*tracks: bytes, division: int = 480, kind: int = 1) -> bytes:
    head = kind.to_bytes(2, "big") + len(tracks).to_bytes(2, "big") + division.to_bytes(2, "big")
    return b"MThd\x00\x00\x00\x06" + head + b"".join(tracks)


def notes(pitches: Sequence[int], length: int = 480, channel: int = 0) -> list[bytes]:
    """Notes one after the other, with running status."""
    events = []
    for at, pitch in enumerate(pitches):
        status = bytes([0x90 | channel]) if at == 0 else b""
        events.append(number(0) + status + bytes([pitch, 90]))
        events.append(number(length) + bytes([pitch, 0]))
    return events


def tempo(microseconds: int, delta: int = 0) -> bytes:
    return number(delta) + b"\xff\x51\x03" + microseconds.to_bytes(3, "big")


def name(text: str) -> bytes:
    data = text.encode("latin-1")
    return b"\x00\xff\x03" + number(len(data)) + data


SCALE = (60, 62, 64, 65, 67, 69, 71, 72)


def score(measures: str, *, before: str = "", parts: int = 1) -> bytes:
    """MusicXML: the same measures in each part; `measures` are the inside of <part>."""
    listed = "".join(
        f'<score-part id="P{n}"><part-name>Part {n}</part-name></score-part>'
        for n in range(1, parts + 1)
    )
    inside = "".join(f'<part id="P{n}">{measures}</part>' for n in range(1, parts + 1))
    text = (
        f'<?xml version="1.0" encoding="UTF-8"?>{before}<score-partwise version="4.0">'
        f"<work><work-title>Plain Song</work-title></work><part-list>{listed}</part-list>"
        f"{inside}</score-partwise>"
    )
    return text.encode()


def note(step: str, octave: int, duration: int, extra: str = "", alter: int = 0) -> str:
    sign = f"<alter>{alter}</alter>" if alter else ""
    pitch = f"<pitch><step>{step}</step>{sign}<octave>{octave}</octave></pitch>"
    return f"<note>{pitch}<duration>{duration}</duration>{extra}</note>"


ATTRIBUTES = (
    "<attributes><divisions>2</divisions><key><fifths>1</fifths><mode>major</mode></key>"
    "<time><beats>3</beats><beat-type>4</beat-type></time></attributes>"
)


def packed(data: bytes, filename: str = "score.xml", container: str | None = None) -> bytes:
    """A .mxl file."""
    held = (
        container
        or f'<container><rootfiles><rootfile full-path="{filename}"/></rootfiles></container>'
    )
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as file:
        file.writestr("META-INF/container.xml", held)
        file.writestr(filename, data)
    return out.getvalue()
