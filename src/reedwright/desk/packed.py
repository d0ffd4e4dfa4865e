"""A pack as it is given out: as a zip, and file by file to look at.

Conventions: only what the pack's manifest lists, and what still has the manifest's checksum, is
given. The student's page carries its scripts inside, so it has a policy of its own, which lets it
ask nothing of the desk. Source of the zip's oldest date: APPNOTE.TXT (PKWARE), MS-DOS dates.
"""

from __future__ import annotations

import tempfile
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import IO
from urllib.parse import quote

from reedwright.desk.faults import ABSENT, refused
from reedwright.errors import ReedwrightError
from reedwright.pack.manifest import NAME, Entry, Manifest, read_manifest

_CHUNK = 1 << 18
_OLDEST = (1980, 1, 1, 0, 0, 0)
_PACKED_ALREADY = (".mp3", ".ogg", ".opus", ".flac", ".pdf")

PAGE_POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'unsafe-inline' blob: data:",
        "style-src 'unsafe-inline'",
        "img-src data: blob:",
        "media-src data: blob:",
        "connect-src data: blob:",
        "font-src data:",
        "worker-src blob: data:",
        "base-uri 'none'",
        "form-action 'none'",
        "frame-ancestors 'none'",
    )
)
_SANDBOX = "; sandbox allow-scripts allow-downloads"
_PICTURE_POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; sandbox"

KINDS = {
    ".html": "text/html; charset=utf-8",
    ".pdf": "application/pdf",
    ".svg": "image/svg+xml",
    ".txt": "text/plain; charset=utf-8",
    ".md": "text/plain; charset=utf-8",
    ".vtt": "text/plain; charset=utf-8",
    ".srt": "text/plain; charset=utf-8",
    ".csv": "text/plain; charset=utf-8",
    ".reed": "text/plain; charset=utf-8",
    ".json": "application/json",
    ".mp3": "audio/mpeg",
    ".wav": "audio/wav",
    ".flac": "audio/flac",
    ".ogg": "audio/ogg",
    ".opus": "audio/ogg",
}


def manifest_of(folder: Path) -> Manifest:
    """What a pack's folder holds. Errors: DeskError where there is no pack."""
    found = None
    if folder.is_dir() and not folder.is_symlink():
        try:
            found = read_manifest(folder)
        except ReedwrightError:
            found = None
    if found is None:
        raise refused(ABSENT, "there is no pack of this tune yet", "", "make the pack first")
    return found


def entry_of(folder: Path, path: str) -> Entry:
    """A file of the pack, which is as the pack left it. Errors: DeskError."""
    entry = manifest_of(folder).entry(path)
    if entry is None or not entry.is_in(folder) or (folder / path).parent.is_symlink():
        raise refused(ABSENT, "there is no such file in the pack", "", "make the pack again")
    return entry


def headers_of(path: str, *, made_here: bool) -> dict[str, str]:
    """How a file is sent: to look at where a browser can show it safely, else to keep. A page that
    was not made here is shown in a sandbox: it may run, but as nobody (and hears no microphone)."""
    ending = Path(path).suffix.lower()
    headers = {"Cache-Control": "no-store"}
    if ending == ".html":
        policy = PAGE_POLICY if made_here else PAGE_POLICY + _SANDBOX
        return headers | {"Content-Security-Policy": policy}
    if ending == ".svg":
        return headers | {"Content-Security-Policy": _PICTURE_POLICY}
    if ending == ".pdf":  # the browser's own viewer shows it, which brings its styles along
        policy = "default-src 'none'; style-src 'unsafe-inline'; object-src 'self'"
        return headers | {"Content-Security-Policy": policy}
    if ending not in KINDS:
        name = quote(Path(path).name)
        return headers | {"Content-Disposition": f"attachment; filename*=UTF-8''{name}"}
    return headers


def kind_of(path: str) -> str:
    return KINDS.get(Path(path).suffix.lower(), "application/octet-stream")


def zipped(folder: Path, name: str) -> IO[bytes]:
    """The pack as a zip in a file without a name, which goes when it is closed. Errors: DeskError,
    OSError for a full disk."""
    manifest = manifest_of(folder)
    paths = [NAME, *(entry.path for entry in manifest.files if entry.is_in(folder))]
    out = tempfile.TemporaryFile()  # noqa: SIM115 - closed when it is sent
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
        for path in paths:
            info = zipfile.ZipInfo(f"{name}/{path}", _OLDEST)
            packed = path.lower().endswith(_PACKED_ALREADY)
            info.compress_type = zipfile.ZIP_STORED if packed else zipfile.ZIP_DEFLATED
            info.external_attr = 0o644 << 16
            with (folder / path).open("rb") as source, made.open(info, "w") as target:
                while chunk := source.read(_CHUNK):
                    target.write(chunk)
    out.seek(0)
    return out


def chunks(file: IO[bytes]) -> Iterator[bytes]:
    """A file piece by piece, closed at the end."""
    with file:
        while chunk := file.read(_CHUNK):
            yield chunk
