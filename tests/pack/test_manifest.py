"""The manifest: written the same every time, read only when it is one."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from reedwright.errors import FileError
from reedwright.pack.manifest import (
    Entry,
    Manifest,
    digest,
    entry_of,
    is_bare,
    is_inside,
    read_manifest,
)
from tests.pack.folders import manifest

FILES = {"sheet.pdf": b"%PDF", "tune.reed": "Title: ♭".encode()}


def test_the_hash_is_that_of_fips_180_4() -> None:
    # FIPS 180-4, SHA-256 of "abc", from memory; the published example.
    assert digest(b"abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


def test_write_and_read(tmp_path: Path) -> None:
    written = manifest(FILES)
    (tmp_path / "pack.json").write_bytes(written.as_bytes())
    assert read_manifest(tmp_path) == written
    assert manifest(dict(reversed(FILES.items()))).as_bytes() == written.as_bytes()
    document = json.loads(written.as_bytes())
    assert document["schema"] == "reedwright.pack/1"
    assert document["files"][0] == {"path": "sheet.pdf", "bytes": 4, "sha256": digest(b"%PDF")}


def test_an_entry_is_true_or_not(tmp_path: Path) -> None:
    entry = entry_of("a.txt", b"abc")
    assert not entry.is_in(tmp_path)
    (tmp_path / "a.txt").write_bytes(b"abc")
    assert entry.is_in(tmp_path)
    for other in (b"abd", b"abcd", b""):
        (tmp_path / "a.txt").write_bytes(other)
        assert not entry.is_in(tmp_path)
    (tmp_path / "a.txt").unlink()
    (tmp_path / "b.txt").write_bytes(b"abc")
    (tmp_path / "a.txt").symlink_to(tmp_path / "b.txt")
    assert not entry.is_in(tmp_path)
    (tmp_path / "a.txt").unlink()
    (tmp_path / "a.txt").mkdir()
    assert not entry.is_in(tmp_path)


def changed(**changes: object) -> bytes:
    document = json.loads(manifest(FILES).as_bytes())
    document.update(changes)
    return json.dumps({key: value for key, value in document.items() if value != "gone"}).encode()


ROW = {"path": "a", "bytes": 1, "sha256": "0" * 64}
NO_MANIFEST = {
    "empty": b"",
    "no JSON": b"{",
    "not UTF-8": b'{"schema": "\xff"}',
    "a list": b"[]",
    "deep": b"[" * 100_000,
    "a number of 10,000 digits": b'{"schema": ' + b"9" * 10_000 + b"}",
    "no schema": changed(schema="gone"),
    "another schema": changed(schema="reedwright.check/1"),
    "schema of a wrong kind": changed(schema=1),
    "no files": changed(files="gone"),
    "files of a wrong kind": changed(files={"a": 1}),
    "a row of a wrong kind": changed(files=["a"]),
    "a row with more": changed(files=[{**ROW, "x": 1}]),
    "a row with less": changed(files=[{"path": "a"}]),
    "a path upwards": changed(files=[{**ROW, "path": "../a"}]),
    "an absolute path": changed(files=[{**ROW, "path": "/etc/passwd"}]),
    "a path of another system": changed(files=[{**ROW, "path": "..\\a"}]),
    "our own hidden name": changed(files=[{**ROW, "path": ".reedwright-ready"}]),
    "a size of a wrong kind": changed(files=[{**ROW, "bytes": True}]),
    "a size below nothing": changed(files=[{**ROW, "bytes": -1}]),
    "a path two folders down": changed(files=[{**ROW, "path": "audio/a/b"}]),
    "a path in another folder": changed(files=[{**ROW, "path": "video/a"}]),
    "a path upwards in a folder": changed(files=[{**ROW, "path": "audio/../a"}]),
    "made of a wrong kind": changed(files=[{**ROW, "made": 1}]),
    "a hash that is none": changed(files=[{**ROW, "sha256": "A" * 64}]),
    "made from nothing": changed(made_from="gone"),
    "made from a wrong kind": changed(made_from=[]),
}


@pytest.mark.parametrize("kind", NO_MANIFEST)
def test_what_is_no_manifest(kind: str, tmp_path: Path) -> None:
    (tmp_path / "pack.json").write_bytes(NO_MANIFEST[kind])
    assert read_manifest(tmp_path) is None


def test_a_folder_or_nothing_where_the_manifest_should_be(tmp_path: Path) -> None:
    assert read_manifest(tmp_path) is None
    (tmp_path / "pack.json").mkdir()
    assert read_manifest(tmp_path) is None


def test_the_manifest_of_a_later_version_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "pack.json").write_bytes(changed(schema="reedwright.pack/2"))
    with pytest.raises(FileError) as caught:
        read_manifest(tmp_path)
    assert str(caught.value) == (
        f"{tmp_path / 'pack.json'}: written by another version (reedwright.pack/2). "
        "Mend: choose another folder."
    )


def test_bare_names() -> None:
    assert all(is_bare(name) for name in ("a", "sheet-1.svg", "my tuning.toml"))
    assert not any(is_bare(name) for name in ("", ".", "..", "a/b", "a\\b", "c:a", "\0", "x" * 200))


def test_names_inside_a_pack() -> None:
    assert all(is_inside(path) for path in ("a", "audio/a.mp3"))
    assert not any(is_inside(path) for path in ("audio/", "/a", "audio/.", "audio//a", "x/a"))


def test_an_entry_can_be_asked_for_by_its_path() -> None:
    made: Manifest = manifest(FILES)
    assert made.entry("sheet.pdf") == Entry("sheet.pdf", 4, digest(b"%PDF"))
    assert made.entry("no.pdf") is None
