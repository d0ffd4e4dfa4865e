"""XML that somebody brings, made harmless: nothing declared, nothing fetched, nothing that swells.

Conventions: bytes in, text of one element out. Refused are entities and whatever else a document
declares inside itself, sizes above the limits, and depth above what the XML library allows. The
usual line that names the MusicXML DTD is dropped, never followed. A packed file (.mxl) is looked at
before anything in it is unpacked: number, sizes and the ratio of sizes; what is unpacked is cut off
at the limit, whatever the file says of itself. Source: MusicXML 4.0, "Compressed files"; XML 1.0.
"""

from __future__ import annotations

import io
import zipfile
import zlib
from typing import TYPE_CHECKING, Any, TypeAlias

from lxml import etree

from reedwright.errors import Problem, one_line
from reedwright.fit.melody import MelodyError

if TYPE_CHECKING:
    Element: TypeAlias = "etree._Element"

MAX_XML_BYTES = 8_000_000
"""A symphony movement in MusicXML has about as much (from memory); a melody 100 kB."""

MAX_RATIO = 200
"""Unpacked against packed; MusicXML packs to a tenth or a twentieth (from memory)."""

MAX_FILES = 100
_CONTAINER = "META-INF/container.xml"
_MAX_CONTAINER_BYTES = 100_000
_MEND = "export the score anew from the program it came from"


def safe_root(data: bytes) -> Element:
    """The root element. Errors: MelodyError."""
    if len(data) > MAX_XML_BYTES:
        raise _error(f"{len(data):,} bytes of XML", f"At most {MAX_XML_BYTES:,} are read")
    plain = data.replace(b"\0", b"")  # UTF-16 without its zeros
    if b"<!ENTITY" in plain:
        raise _error("XML that declares entities", "A score needs none, and they can do harm")
    parser = etree.XMLParser(
        resolve_entities=False, no_network=True, load_dtd=False, huge_tree=False,
        remove_comments=True, remove_pis=True,
    )  # fmt: skip
    try:
        root = etree.fromstring(data, parser)
    except (etree.XMLSyntaxError, ValueError) as error:
        said = one_line(str(error).partition(" (<string>")[0])[:160]
        raise _error(f"broken XML: {said}", "A score is well-formed XML") from None
    dtd: Any = root.getroottree().docinfo.internalDTD  # the stubs lack its two lists
    if dtd is not None and (any(dtd.iterentities()) or any(dtd.iterelements())):
        raise _error("XML that declares its own elements", "A score needs no declarations")
    return root


def unpacked(data: bytes) -> bytes:
    """The score inside a packed MusicXML file. Errors: MelodyError."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            _check_sizes(packed)
            return _read(packed, _score_name(packed), MAX_XML_BYTES)
    except (zipfile.BadZipFile, NotImplementedError, RuntimeError, EOFError, ValueError) as error:
        raise _error(f"a broken .mxl file: {one_line(str(error))[:100]}", "It is a ZIP") from None
    except (zlib.error, OSError, OverflowError):
        raise _error("a broken .mxl file", "It is a ZIP") from None


def _check_sizes(packed: zipfile.ZipFile) -> None:
    entries = packed.infolist()
    if len(entries) > MAX_FILES:
        raise _error(f"{len(entries)} files in one .mxl", f"At most {MAX_FILES} are taken")
    for entry in entries:
        ratio = entry.file_size / max(entry.compress_size, 1)
        swells = ratio > MAX_RATIO and entry.file_size > _MAX_CONTAINER_BYTES
        if entry.file_size > MAX_XML_BYTES or swells:
            raise _error(
                f"a file that unpacks to {entry.file_size:,} bytes, {ratio:.0f} times its size",
                f"At most {MAX_XML_BYTES:,} bytes and {MAX_RATIO} times are unpacked",
            )


def _score_name(packed: zipfile.ZipFile) -> str:
    """What the container names first, else the only score there is."""
    names = packed.namelist()
    if _CONTAINER in names:
        root = safe_root(_read(packed, _CONTAINER, _MAX_CONTAINER_BYTES))
        for file in root.iter("{*}rootfile"):
            name = file.get("full-path", "")
            if name in names:
                return name
    scores = [
        name
        for name in names
        if name.lower().endswith((".xml", ".musicxml")) and not name.startswith("META-INF/")
    ]
    if not scores:
        raise _error("an .mxl file without a score", "Its container names one")
    return scores[0]


def _read(packed: zipfile.ZipFile, name: str, limit: int) -> bytes:
    with packed.open(name) as file:
        data = file.read(limit + 1)
    if len(data) > limit:
        raise _error(f"a file that unpacks to more than it says, over {limit:,} bytes", "It is cut")
    return data


def _error(found: str, rule: str) -> MelodyError:
    return MelodyError(str(Problem(found, rule, _MEND)))
