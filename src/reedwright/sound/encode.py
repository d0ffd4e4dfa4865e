"""Samples to the bytes of a file, and back: encoded, tagged, decoded again, measured.

Conventions: float32 at 48 kHz, (samples,) or (samples, 2). A file decodes to exactly the samples it
was given, in number and place; a decoder that does not read the file's own note of its encoder's
delay hears `encoder_delay_samples` more at the start. The same samples and tags give the same
bytes. Codecs by libsndfile; Vorbis is written in blocks because one long write crashes it; an MP3
is joined from pieces (see `mp3pieces`).
"""

from __future__ import annotations

import hashlib
import io
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial
from math import isfinite
from typing import Any

import numpy as np
import soundfile

from reedwright.sound.cache import key_of
from reedwright.sound.formats import Format
from reedwright.sound.level import CEILING_DBTP, TARGET_LUFS, Levelled, levelled
from reedwright.sound.loudness import integrated_lufs, true_peak_dbtp
from reedwright.sound.mp3pieces import in_pieces
from reedwright.sound.ogg import with_serial
from reedwright.sound.signal import RATE_HZ, Samples, SoundError, channels_of, finite
from reedwright.sound.tags import Tags, id3

RECIPE = 2
"""Goes up when the same samples give other bytes."""

Keep = Callable[[str, Callable[[], bytes]], bytes]
"""Gives the bytes of a key, made only if they are not kept (see `cache.Store.piece`)."""


def _unkept(_: str, make: Callable[[], bytes]) -> bytes:
    return make()


BLOCK = 4_096
"""Frames written at a time; measured: fast, and Vorbis holds."""

_HOW: dict[Format, tuple[str, str, dict[str, Any]]] = {
    Format.MP3: ("MP3", "MPEG_LAYER_III", {"bitrate_mode": "VARIABLE", "compression_level": 0.2}),
    Format.OGG: ("OGG", "VORBIS", {"compression_level": 0.4}),
    Format.OPUS: ("OGG", "OPUS", {"compression_level": 0.8}),
    Format.FLAC: ("FLAC", "PCM_24", {"compression_level": 0.5}),
    Format.WAV: ("WAV", "PCM_24", {}),
}
"""Container, codec and quality: 100 to 200 kbit/s for a band, transparent to most (from memory)."""

_MEASURED = (
    "samples",
    "channels",
    "gain_db",
    "limited_db",
    "lufs",
    "true_peak_dbtp",
    "encoder_delay_samples",
)

TRIES = 5
LOST_LU = 0.25
"""Loudness a codec may take (noise it drops); with the limiter's NEAR_LU it stays within 0.5."""

MP3_DECODER_DELAY = 529
"""Samples every Layer III decoder is late (the reference decoder's filter bank and overlap)."""

_LAME_DELAY_AT = 21
"""Bytes from the encoder's name to its delay and padding, 12 bits each (the LAME tag)."""


@dataclass(frozen=True, slots=True)
class Encoded:
    """A file's bytes, and what decoding them again measured."""

    data: bytes
    samples: int
    channels: int
    gain_db: float
    limited_db: float
    lufs: float
    true_peak_dbtp: float
    encoder_delay_samples: int

    @property
    def measured(self) -> dict[str, Any]:
        """All but the bytes, as plain values; null for the level of silence."""
        told = {name: getattr(self, name) for name in _MEASURED}
        return {
            name: round(value, 3) if isinstance(value, float) and isfinite(value) else value
            for name, value in told.items()
            if not isinstance(value, float) or isfinite(value)
        } | {name: None for name, value in told.items() if not isfinite(value)}


def delivered(mix: Samples, kind: Format, tags: Tags, keep: Keep = _unkept) -> Encoded:
    """A mix at -16 LUFS and at most -1 dBTP in this format, verified by decoding.

    `keep`: where pieces of an MP3 are kept, so that an edit encodes anew only what it touched.

    Errors: SoundError for samples that are no numbers, or when a codec fails.
    """
    ready = levelled(mix, kind.ceiling_dbtp)
    encoded = _measured(ready, kind, tags, keep)
    ceiling_dbtp = kind.ceiling_dbtp
    for _ in range(TRIES):
        over_db = encoded.true_peak_dbtp - CEILING_DBTP
        lost_lu = ready.lufs - encoded.lufs if isfinite(encoded.lufs) else 0.0
        if over_db <= 0 and abs(lost_lu) <= LOST_LU:
            break
        ceiling_dbtp -= over_db + 0.1 if over_db > 0 else 0.0
        ready = levelled(mix, ceiling_dbtp, TARGET_LUFS + lost_lu)
        encoded = _measured(ready, kind, tags, keep)
    if encoded.true_peak_dbtp > CEILING_DBTP:
        found = f"{kind} still peaks at {encoded.true_peak_dbtp:.2f} dBTP"
        raise SoundError("encode", found)
    return encoded


def at_level(
    mix: Samples, kind: Format, tags: Tags, gain_db: float, keep: Keep = _unkept
) -> Encoded:
    """Samples at a gain of the caller's, for stems that shall add up. Errors: SoundError."""
    louder = (finite(mix, "stem") * np.float32(10 ** (gain_db / 20))).astype(np.float32)
    ready = Levelled(louder, gain_db, integrated_lufs(louder), true_peak_dbtp(louder))
    return _measured(ready, kind, tags, keep)


def _measured(ready: Levelled, kind: Format, tags: Tags, keep: Keep) -> Encoded:
    data = encode(ready.samples, kind, tags, keep)
    heard = decode(data)
    if heard.shape != ready.samples.shape:
        raise SoundError("encode", f"{kind}: {ready.samples.shape} samples became {heard.shape}")
    return Encoded(
        data=data,
        samples=len(heard),
        channels=channels_of(heard),
        gain_db=ready.gain_db,
        limited_db=ready.limited_db,
        lufs=integrated_lufs(heard) if kind.lossy else ready.lufs,
        true_peak_dbtp=true_peak_dbtp(heard),
        encoder_delay_samples=encoder_delay(data, kind),
    )


def encode(samples: Samples, kind: Format, tags: Tags, keep: Keep = _unkept) -> bytes:
    """The bytes of a file. Errors: SoundError."""
    sound = finite(samples, "encode")
    if kind is Format.MP3:
        return id3(tags) + in_pieces(sound, partial(_piece, keep))
    data = _written(sound, kind, tags.as_words())
    if kind in (Format.OGG, Format.OPUS):
        said = hashlib.sha256(repr((tags, sound.shape)).encode())
        said.update(np.ascontiguousarray(sound).tobytes())
        return with_serial(data, int.from_bytes(said.digest()[:4], "little"))
    return data


def _piece(keep: Keep, sound: Samples) -> bytes:
    """A piece of an MP3 file, or a short one as a whole."""
    heard = hashlib.sha256(np.ascontiguousarray(sound).tobytes()).hexdigest()
    said = (RECIPE, soundfile.__libsndfile_version__, _HOW[Format.MP3], sound.shape, heard)
    return keep(key_of("mp3 piece", *said), partial(_written, sound, Format.MP3, {}))


def _written(sound: Samples, kind: Format, words: Mapping[str, str]) -> bytes:
    """What libsndfile makes of it. Errors: SoundError."""
    container, codec, quality = _HOW[kind]
    out = io.BytesIO()
    try:
        with soundfile.SoundFile(
            out, "w", RATE_HZ, channels_of(sound), codec, format=container, **quality
        ) as file:
            for name, text in words.items():
                setattr(file, name, text)
            for start in range(0, len(sound), BLOCK):
                file.write(sound[start : start + BLOCK])
    except soundfile.LibsndfileError as error:
        raise SoundError("encode", f"{kind}: {error}") from None
    return out.getvalue()


def decode(data: bytes) -> Samples:
    """The samples of a file of ours, at 48 kHz. Errors: SoundError."""
    try:
        samples, rate_hz = soundfile.read(io.BytesIO(data), dtype="float32")
    except soundfile.LibsndfileError as error:
        raise SoundError("decode", str(error)) from None
    if rate_hz != RATE_HZ:
        raise SoundError("decode", f"{rate_hz} samples a second instead of {RATE_HZ}")
    return np.asarray(samples, np.float32)


def encoder_delay(data: bytes, kind: Format) -> int:
    """Samples before the sound that the file itself tells a decoder to leave out."""
    if kind is Format.OPUS:  # RFC 7845: pre-skip, two bytes behind version and channels
        at = data.find(b"OpusHead")
        return int.from_bytes(data[at + 10 : at + 12], "little") if at >= 0 else 0
    if kind is Format.MP3:
        at = data.find(b"LAME", 0, 8_192)
        three = data[at + _LAME_DELAY_AT : at + _LAME_DELAY_AT + 3]
        own = int.from_bytes(three, "big") >> 12 if at >= 0 else 0
        return own + MP3_DECODER_DELAY
    return 0
