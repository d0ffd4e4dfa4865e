"""The store: what is kept comes back, damage is seen, and the work goes on without it."""

from __future__ import annotations

import os
import threading
import time
from pathlib import Path

import numpy as np
import pytest

from reedwright.sound.cache import Store, default_folder, key_of
from reedwright.sound.sweep import Sweeper

KEY = key_of("a", 1)


class Maker:
    """Counts how often it is asked."""

    def __init__(self, shape: tuple[int, ...] = (100, 2)) -> None:
        self.asked, self._shape = 0, shape

    def __call__(self) -> np.ndarray:
        self.asked += 1
        return np.arange(np.prod(self._shape), dtype=np.float32).reshape(self._shape)


def entries(folder: Path) -> list[Path]:
    return sorted(path for path in folder.rglob("*") if path.is_file())


@pytest.mark.parametrize("shape", [(100, 2), (7,), (0,)])
def test_made_once_and_read_by_another_run(tmp_path: Path, shape: tuple[int, ...]) -> None:
    make = Maker(shape)
    made = Store(tmp_path).samples(KEY, make)
    read = Store(tmp_path).samples(KEY, make)
    assert make.asked == 1
    assert read.dtype == np.float32
    assert np.array_equal(made, read)
    assert read.shape == shape


def test_what_many_share_cannot_be_written_into(tmp_path: Path) -> None:
    store = Store(tmp_path)
    for _ in range(2):
        with pytest.raises(ValueError, match="read-only"):
            store.samples(KEY, Maker())[0] = 1


@pytest.mark.parametrize("damage", ["flip", "cut", "empty", "header", "other"])
def test_a_damaged_entry_is_made_again(tmp_path: Path, damage: str) -> None:
    make = Maker()
    Store(tmp_path).samples(KEY, make)
    path = entries(tmp_path)[0]
    data = bytearray(path.read_bytes())
    if damage == "flip":
        data[-3] ^= 1
    path.write_bytes(
        {
            "flip": bytes(data),
            "cut": bytes(data[:-4]),
            "empty": b"",
            "header": b"[1]\n" + bytes(data).split(b"\n", 1)[1],
            "other": b"\xff\xfe" * 50,
        }[damage]
    )
    assert np.array_equal(Store(tmp_path).samples(KEY, make), make())
    Store(tmp_path).samples(KEY, make)
    assert make.asked == 3  # made, made again after the damage, and asked by this test


def test_a_header_that_was_changed_counts_as_damaged(tmp_path: Path) -> None:
    make = Maker()
    Store(tmp_path).samples(KEY, make)
    path = entries(tmp_path)[0]
    path.write_bytes(path.read_bytes().replace(b"[100, 2]", b"[200, 1]"))
    assert Store(tmp_path).samples(KEY, make).shape == (100, 2)
    assert make.asked == 2


def test_a_strange_file_in_the_store_disturbs_nobody(tmp_path: Path) -> None:
    (tmp_path / "00").write_bytes(b"no folder")
    store = Store(tmp_path)
    store.samples(KEY, Maker())
    assert store.trouble == ""
    assert (tmp_path / "00").read_bytes() == b"no folder"


def test_a_file_is_no_samples_and_the_other_way_round(tmp_path: Path) -> None:
    store, make = Store(tmp_path, memory_bytes=0), Maker()
    store.keep_file(KEY, b"data", {"lufs": -16.0, "none": None})
    kept = Store(tmp_path).file(KEY)
    assert kept is not None
    assert (kept.data, kept.facts) == (b"data", {"lufs": -16.0, "none": None})
    assert store.samples(KEY, make).shape == (100, 2)
    assert Store(tmp_path).file(KEY) is None


def test_two_threads_make_it_once(tmp_path: Path) -> None:
    store, calls = Store(tmp_path), []

    def slow() -> np.ndarray:
        calls.append(1)
        time.sleep(0.05)
        return np.zeros(3, np.float32)

    threads = [threading.Thread(target=store.samples, args=(KEY, slow)) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(calls) == 1


def test_a_failed_making_leaves_nothing_and_blocks_nobody(tmp_path: Path) -> None:
    store = Store(tmp_path)

    def fail() -> np.ndarray:
        raise ValueError("no")

    for _ in range(2):
        with pytest.raises(ValueError, match="no"):
            store.samples(KEY, fail)
    assert entries(tmp_path) == []
    assert store.samples(KEY, Maker()).shape == (100, 2)


def test_a_store_that_cannot_be_written_says_so_and_works(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    store, make = Store(tmp_path / "file", memory_bytes=0), Maker()
    for _ in range(2):
        assert store.samples(KEY, make).shape == (100, 2)
    assert make.asked == 2
    assert store.trouble.startswith("nothing is kept for the next time: ")
    assert store.trouble.endswith("not a directory")


def test_a_full_disk_leaves_no_half_entry(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    store = Store(tmp_path)
    assert store.samples(KEY, Maker()).shape == (100, 2)
    assert store.trouble.endswith("no space left on device")
    assert entries(tmp_path) == []


def test_no_folder_no_store() -> None:
    store, make = Store(None, memory_bytes=0), Maker()
    store.samples(KEY, make)
    store.samples(KEY, make)
    assert make.asked == 2
    assert store.file(KEY) is None
    assert store.trouble == ""


def test_memory_holds_what_was_used_last() -> None:
    store = Store(None, memory_bytes=3 * 800)
    makers = [Maker() for _ in range(5)]
    for number, make in enumerate(makers):
        store.samples(key_of(number), make)
    for number in (4, 3, 0):
        store.samples(key_of(number), makers[number])
    assert [make.asked for make in makers] == [2, 1, 1, 1, 1]


def test_where_the_store_lies(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", "/somewhere")
    monkeypatch.delenv("REEDWRIGHT_CACHE", raising=False)
    assert default_folder() == Path("/somewhere/reedwright")
    monkeypatch.setenv("XDG_CACHE_HOME", "not/absolute")
    assert default_folder() == Path.home() / ".cache" / "reedwright"
    monkeypatch.setenv("REEDWRIGHT_CACHE", "mine")
    assert default_folder() == Path("mine")
    monkeypatch.setenv("REEDWRIGHT_CACHE", "off")
    assert default_folder() is None


def test_the_oldest_go_first_when_the_store_outgrows_its_limit(tmp_path: Path) -> None:
    store = Store(tmp_path, limit_bytes=20_000, memory_bytes=0)
    keys = [key_of(number) for number in range(12)]
    for number, key in enumerate(keys):
        store.samples(key, Maker((500, 1)))
        if (path := tmp_path / key[:2] / key).exists():
            os.utime(path, (number + 1, number + 1))
        if number == 8:
            Store(tmp_path).samples(keys[0], Maker((500, 1)))  # used just now
    left = {path.name for path in entries(tmp_path)}
    assert sum(path.stat().st_size for path in entries(tmp_path)) <= 20_000
    assert keys[11] in left
    assert keys[1] not in left


def test_what_a_killed_run_left_is_swept_after_an_hour(tmp_path: Path) -> None:
    now_s = time.time()
    (tmp_path / "ab").mkdir()
    for name, age_s in (("old", 4_000), ("young", 10)):
        path = tmp_path / "ab" / f".new-{name}"
        path.write_bytes(bytes(100))
        os.utime(path, (now_s - age_s, now_s - age_s))
    Sweeper(tmp_path, 50, lambda: now_s).grown(1)
    assert [path.name for path in entries(tmp_path)] == [".new-young"]
