"""The folder of a pack: moved in whole, nothing of the user's lost, locked while it changes."""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from reedwright.errors import FileError, SheetError
from reedwright.pack import folder as room
from reedwright.pack.folder import BUILDING, READY, Item, mend, opened, replace_files
from reedwright.pack.manifest import Entry, Manifest, digest, read_manifest
from reedwright.pack.moving import Moved
from tests.pack.folders import files_in, hidden, manifest, replace, untrue

OLD = {
    "tune.reed": b"old tune",
    "sheet.pdf": b"old sheet",
    "sheet-2.svg": b"old page",
    "audio/call.mp3": b"old call",
}
NEW = {
    "tune.reed": b"new tune",
    "sheet.pdf": b"new sheet",
    "harp.svg": b"chart",
    "audio/call.mp3": b"new call",
    "audio/answer.mp3": b"answer",
}


def put(folder: Path, files: dict[str, bytes]) -> Moved:
    with opened(folder):
        return replace(folder, files)


def test_a_new_folder_and_its_parents(tmp_path: Path) -> None:
    folder = tmp_path / "a" / "b"
    moved = put(folder, OLD)
    assert sorted(moved.written) == sorted(OLD)
    assert untrue(folder) == []
    assert files_in(folder) == OLD | {"pack.json": manifest(OLD).as_bytes()}


def test_the_next_pack_replaces_what_is_its_own(tmp_path: Path) -> None:
    put(tmp_path, OLD)
    same = {"tune.reed": b"old tune", "sheet.pdf": b"new sheet"}
    before = (tmp_path / "tune.reed").stat()
    moved = put(tmp_path, same)
    assert moved == Moved(("sheet.pdf",), ("tune.reed",), ("audio/call.mp3", "sheet-2.svg"), ())
    assert not (tmp_path / "audio").exists()  # the last file in it is gone
    assert files_in(tmp_path) == same | {"pack.json": manifest(same).as_bytes()}
    assert (tmp_path / "tune.reed").stat().st_ino == before.st_ino  # not even touched


def test_files_of_the_user_stay(tmp_path: Path) -> None:
    own = {"notes.txt": b"mine", "audio/take 1.wav": b"mine", ".hidden": b"mine"}
    for name, data in own.items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_bytes(data)
    put(tmp_path, OLD)
    put(tmp_path, NEW)
    assert own.items() <= files_in(tmp_path).items()
    assert untrue(tmp_path) == []


def test_a_changed_sheet_is_kept_under_another_name(tmp_path: Path) -> None:
    put(tmp_path, OLD)
    (tmp_path / "sheet.pdf").write_bytes(b"with my pencil marks")
    (tmp_path / "sheet-2.svg").write_bytes(b"drawn over")
    moved = put(tmp_path, NEW)
    assert moved.kept == (("sheet.pdf", "sheet.kept.pdf"),)
    assert moved.gone == ()  # changed, so it is the user's now
    assert (tmp_path / "sheet.kept.pdf").read_bytes() == b"with my pencil marks"
    assert (tmp_path / "sheet-2.svg").read_bytes() == b"drawn over"
    (tmp_path / "sheet.pdf").write_bytes(b"and again")
    assert dict(put(tmp_path, OLD).kept)["sheet.pdf"] == "sheet.kept-2.pdf"
    assert (tmp_path / "sheet.kept-2.pdf").read_bytes() == b"and again"
    assert (tmp_path / "sheet.kept.pdf").read_bytes() == b"with my pencil marks"


def test_what_stood_there_before_any_pack_is_kept(tmp_path: Path) -> None:
    (tmp_path / "sheet.pdf").mkdir()
    (tmp_path / "sheet.pdf" / "x").write_bytes(b"mine")
    (tmp_path / "tune.reed").symlink_to("elsewhere")
    (tmp_path / "pack.json").write_bytes(b"my packing list")
    (tmp_path / "audio").symlink_to("on another disk")
    moved = put(tmp_path, NEW)
    assert dict(moved.kept) == {
        "sheet.pdf": "sheet.kept.pdf",
        "tune.reed": "tune.kept.reed",
        "pack.json": "pack.kept.json",
        "audio": "audio.kept",
    }
    assert (tmp_path / "audio.kept").readlink() == Path("on another disk")
    assert (tmp_path / "sheet.kept.pdf" / "x").read_bytes() == b"mine"
    assert (tmp_path / "tune.kept.reed").readlink() == Path("elsewhere")
    assert (tmp_path / "pack.kept.json").read_bytes() == b"my packing list"
    assert untrue(tmp_path) == []


def test_recordings_of_the_user_in_our_subfolder(tmp_path: Path) -> None:
    put(tmp_path, NEW)
    (tmp_path / "audio" / "call.mp3").write_bytes(b"my own take")
    (tmp_path / "audio" / "take 1.wav").write_bytes(b"mine")
    moved = put(tmp_path, {"tune.reed": b"new tune", "audio/call.mp3": b"newer call"})
    assert moved.kept == (("audio/call.mp3", "audio/call.kept.mp3"),)
    assert moved.gone == ("audio/answer.mp3", "harp.svg", "sheet.pdf")
    assert (tmp_path / "audio" / "call.kept.mp3").read_bytes() == b"my own take"
    put(tmp_path, {"tune.reed": b"new tune"})
    assert sorted(path.name for path in (tmp_path / "audio").iterdir()) == [
        "call.kept.mp3",
        "take 1.wav",
    ]


def test_a_file_is_copied_in_with_how_it_was_made(tmp_path: Path) -> None:
    rendered = tmp_path / "kept elsewhere"
    rendered.write_bytes(b"sound" * 1000)
    made = {"tempo_bpm": 60, "seed": 0}
    with opened(tmp_path / "pack"):
        item = Item("audio/call.wav", rendered, made)
        _, new = replace_files(tmp_path / "pack", [item], lambda e: Manifest({}, {}, e))
    assert new.files == (Entry("audio/call.wav", 5000, digest(b"sound" * 1000), made),)
    assert read_manifest(tmp_path / "pack") == new
    assert rendered.read_bytes() == (tmp_path / "pack/audio/call.wav").read_bytes()


def test_a_fault_while_an_item_is_made_leaves_the_old_pack(tmp_path: Path) -> None:
    put(tmp_path, OLD)
    before = files_in(tmp_path)

    def items() -> Iterator[Item]:
        yield Item("sheet.pdf", b"new")
        raise SheetError("no")

    with pytest.raises(SheetError), opened(tmp_path):
        replace_files(tmp_path, items(), lambda e: Manifest({}, {}, e))
    assert files_in(tmp_path) == before


def test_the_same_bytes_in_the_way_are_no_copy_of_anybodys(tmp_path: Path) -> None:
    (tmp_path / "sheet.pdf").write_bytes(NEW["sheet.pdf"])
    assert put(tmp_path, NEW).kept == ()


def test_but_the_same_words_in_the_way_are_the_users(tmp_path: Path) -> None:
    (tmp_path / "tune.reed").write_bytes(NEW["tune.reed"])
    assert put(tmp_path, NEW).kept == (("tune.reed", "tune.kept.reed"),)
    assert put(tmp_path, NEW).kept == ()
    put(tmp_path, OLD)
    assert (tmp_path / "tune.kept.reed").read_bytes() == NEW["tune.reed"]


@pytest.mark.parametrize("kind", ["link", "file", "subfolder", "unlisted", "no manifest", "pipe"])
def test_a_hidden_item_that_is_not_ours_is_named(kind: str, tmp_path: Path) -> None:
    put(tmp_path, OLD)
    before = files_in(tmp_path)
    item = tmp_path / READY
    if kind == "link":
        item.symlink_to(tmp_path)
    elif kind == "file":
        item.write_bytes(b"")
    elif kind == "pipe":
        item = tmp_path / BUILDING
        os.mkfifo(item)
    else:
        (item / "harp.svg" if kind == "subfolder" else item).mkdir(parents=True)
        (item / "x").write_bytes(b"")
        if kind != "no manifest":
            (item / "pack.json").write_bytes(manifest({"harp.svg": b""}).as_bytes())
    for _ in range(2):
        with pytest.raises(FileError) as caught:
            put(tmp_path, NEW)
        assert str(caught.value) == (
            f"{item}: a hidden item that no run of ours leaves like this; it is in the way of a "
            f"pack. Mend: look into it, then delete {item.name} in that folder."
        )
    assert before.items() <= files_in(tmp_path).items()
    assert untrue(tmp_path) == []


def test_a_fault_while_building_leaves_the_old_pack(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    put(tmp_path, OLD)
    before = files_in(tmp_path)

    def full(path: Path, data: bytes) -> None:
        path.write_bytes(data[:3])
        if path.name == "sheet.pdf":
            raise OSError(28, "No space left on device")

    monkeypatch.setattr(room, "_write", full)
    with pytest.raises(FileError) as caught:
        put(tmp_path, NEW)
    assert str(caught.value) == (
        f"{tmp_path}: no space left on device. Mend: check the folder and the space left."
    )
    assert files_in(tmp_path) == before
    fresh = tmp_path / "fresh"
    with pytest.raises(FileError):
        put(fresh, NEW)
    assert not fresh.exists()


def test_ctrl_c_while_building_leaves_the_old_pack(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    put(tmp_path, OLD)
    before = files_in(tmp_path)

    def stopped(path: Path, data: bytes) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(room, "_write", stopped)
    with pytest.raises(KeyboardInterrupt):
        put(tmp_path, NEW)
    assert files_in(tmp_path) == before


def test_leftovers_of_a_killed_run_are_cleaned(tmp_path: Path) -> None:
    put(tmp_path, OLD)
    (tmp_path / BUILDING).mkdir()
    (tmp_path / BUILDING / "sheet.pdf").write_bytes(b"half")
    with opened(tmp_path):
        assert hidden(tmp_path) == []
    (tmp_path / BUILDING).symlink_to("/")  # nobody of ours; still nothing behind it is touched
    with opened(tmp_path):
        assert hidden(tmp_path) == []
    assert untrue(tmp_path) == []


def test_a_folder_that_cannot_be(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    for name in ("file", "file/below", "x" * 300):
        with pytest.raises(FileError, match="Mend: "), opened(tmp_path / name):
            pass
    assert [path.name for path in tmp_path.iterdir()] == ["file"]


def test_a_folder_without_the_right_to_write(tmp_path: Path) -> None:
    if os.geteuid() == 0:
        pytest.skip("root writes everywhere")
    put(tmp_path, OLD)
    tmp_path.chmod(0o555)
    try:
        with pytest.raises(FileError, match="permission denied"):
            put(tmp_path, NEW)
        assert untrue(tmp_path) == []
    finally:
        tmp_path.chmod(0o755)


def _hold(folder: Path, ready: multiprocessing.connection.Connection) -> None:
    with opened(folder):
        ready.send("locked")
        ready.recv()


def test_two_runs_in_one_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    pytest.importorskip("fcntl", reason="no such locks on this system")
    context = multiprocessing.get_context("spawn")
    ours, theirs = context.Pipe()
    other = context.Process(target=_hold, args=(tmp_path, theirs))
    other.start()
    try:
        assert ours.recv() == "locked"
        monkeypatch.setattr(room, "PATIENCE_S", 0.1)
        with pytest.raises(FileError) as caught:
            put(tmp_path, NEW)
        assert str(caught.value) == (
            f"{tmp_path}: another run is writing into this folder. Mend: wait until it is done."
        )
        monkeypatch.setattr(room, "PATIENCE_S", 60.0)
        ours.send("go")
        put(tmp_path, NEW)  # waits its turn
        assert untrue(tmp_path) == []
    finally:
        other.join(60)
    assert other.exitcode == 0


def test_mending_twice_is_mending_once(tmp_path: Path) -> None:
    put(tmp_path, OLD)
    before = files_in(tmp_path)
    mend(tmp_path)
    mend(tmp_path)
    assert files_in(tmp_path) == before
