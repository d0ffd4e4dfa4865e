"""The journal: what is in it after any sudden end is what was acknowledged."""

import os
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reedwright.desk.faults import FULL, DiskError
from reedwright.desk.journal import Journal, Line, Record
from reedwright.desk.thin import history, thinned

TEXTS = st.lists(st.text("ab\né'", max_size=10), min_size=1, max_size=12)


def _written(path: Path, texts: list[str]) -> list[int]:
    """A journal of these texts; its size after each."""
    journal, before, sizes = Journal(path), None, []
    for number, text in enumerate(texts, 1):
        kind = "text" if before is None else "change"
        journal.append(Line(Record(kind, number, float(number), text, "w"), before))
        before = text
        sizes.append(path.stat().st_size)
    journal.close()
    return sizes


@settings(max_examples=40)
@given(TEXTS, st.data())
def test_a_journal_cut_anywhere_holds_what_was_whole(
    tmp_path_factory: pytest.TempPathFactory, texts: list[str], data: st.DataObject
) -> None:
    path = tmp_path_factory.mktemp("j") / "x.journal"
    sizes = _written(path, texts)
    cut = data.draw(st.integers(0, sizes[-1]))
    os.truncate(path, cut)
    whole = sum(size <= cut for size in sizes)
    assert [record.text for record in Journal(path).records()] == texts[:whole]
    journal = Journal(path)
    journal.append(Line(Record("text", 99, 99.0, "after")))
    assert [record.text for record in Journal(path).records()] == [*texts[:whole], "after"]
    journal.close()


@given(st.integers(0, 400), st.integers(0, 255))
@settings(max_examples=40)
def test_a_spoilt_byte_never_gives_a_text_nobody_wrote(
    tmp_path_factory: pytest.TempPathFactory, at: int, byte: int
) -> None:
    path = tmp_path_factory.mktemp("j") / "x.journal"
    texts = ["one", "one two", "two", "two\nthree"]
    _written(path, texts)
    data = bytearray(path.read_bytes())
    data[at % len(data)] = byte
    path.write_bytes(data)
    found = [record.text for record in Journal(path).records()]
    assert found == texts[: len(found)]


def test_the_disk_has_a_record_before_it_is_acknowledged(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    done: list[str] = []
    write, sync = os.write, os.fsync

    def writing(handle: int, data: bytes) -> int:
        done.append("write")
        return write(handle, data)

    def syncing(handle: int) -> None:
        done.append("sync")
        sync(handle)

    monkeypatch.setattr(os, "write", writing)
    monkeypatch.setattr(os, "fsync", syncing)
    journal = Journal(tmp_path / "x.journal")
    journal.append(Line(Record("text", 1, 1.0, "a")))
    done.clear()
    journal.append(Line(Record("change", 2, 2.0, "ab"), "a"))
    assert done == ["write", "sync"]
    journal.close()


def test_a_full_disk_takes_nothing_of_a_record(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "x.journal"
    journal = Journal(path)
    journal.append(Line(Record("text", 1, 1.0, "a")))
    before = path.read_bytes()
    write = os.write

    def half(handle: int, data: memoryview) -> int:
        if len(data) < 20:
            raise OSError(28, "No space left on device")
        return write(handle, data[: len(data) // 2])

    monkeypatch.setattr(os, "write", half)
    with pytest.raises(DiskError, match="the disk is full") as refused:
        journal.append(Line(Record("text", 2, 2.0, "b" * 100)))
    assert refused.value.status == FULL
    monkeypatch.setattr(os, "write", write)
    assert path.read_bytes() == before
    journal.append(Line(Record("text", 2, 2.0, "c")))
    assert [record.text for record in Journal(path).records()] == ["a", "c"]
    journal.close()


def test_a_link_in_place_of_a_journal_is_not_written_through(tmp_path: Path) -> None:
    target = tmp_path / "elsewhere"
    target.write_bytes(b"mine")
    (tmp_path / "x.journal").symlink_to(target)
    with pytest.raises(DiskError):
        Journal(tmp_path / "x.journal").append(Line(Record("text", 1, 1.0, "a")))
    assert target.read_bytes() == b"mine"


def test_a_thinned_journal_keeps_the_newer_half_and_the_last_text(tmp_path: Path) -> None:
    path = tmp_path / "x.journal"
    records = [Record("text", n, n * 2.0, f"text {n}\n" * 3, "w") for n in range(1, 401)]
    records.insert(50, Record("aside", 1000, 101.0, "lost", "v"))
    records.insert(7, Record("saved", 7, 14.5, records[6].text, sha="ab"))
    journal = Journal(path)
    journal.rewrite(thinned(records))
    found = list(journal.records())
    kept = {record.version: record.text for record in found}
    assert all(kept[record.version] == record.text for record in records[202:])
    assert kept[1000] == "lost"
    plain = [record for record in found if record.kind != "aside"]
    assert all(record.text == f"text {record.version}\n" * 3 for record in plain)
    assert [record.version for record in found if record.kind == "saved"] == [7]
    assert 201 <= len(found) < 220


def test_the_history_gathers_keystrokes_and_parts_windows() -> None:
    def typed(version: int, at: float, text: str, window: str = "a") -> Record:
        return Record("change", version, at, text, window)

    first = Record("text", 1, 0.0, "Title: T\n\nLick A\n1: 2d\n", why="as it was found")
    second = typed(2, 100.0, first.text + "2: 3d\n")
    third = typed(3, 101.0, first.text + "2: 3d 4d\n")
    other = typed(4, 102.0, "Title: New\n\nLick A\n1: 2d\n2: 3d 4d\n", "b")
    later = typed(5, 300.0, other.text + "3: 4b\n4: 4b\n", "b")
    aside = replace(typed(6, 301.0, "mine"), kind="aside", why="not chosen")
    found = history([first, second, third, other, later, aside])
    assert [(row["version"], row["summary"]) for row in found] == [
        (6, "not chosen"),
        (5, "2 lines changed in Lick A"),
        (4, "1 line changed in the head"),
        (3, "1 line changed in Lick A"),
        (1, "as it was found"),
    ]
