"""Which packs a desk has made itself, and how pages of others are shown."""

from __future__ import annotations

import stat
from pathlib import Path

import pytest

pytest.importorskip("starlette", reason="the desk's server needs starlette")

from reedwright.desk.packed import PAGE_POLICY, headers_of
from reedwright.desk.seal import Seals, key_folder


def pack_in(folder: Path) -> Path:
    folder.mkdir()
    (folder / "pack.json").write_text("{}", encoding="utf-8")
    return folder


def test_a_pack_made_here_is_known_until_it_changes(tmp_path: Path) -> None:
    pack = pack_in(tmp_path / "a-pack")
    seals = Seals(tmp_path / "keys", tmp_path)
    assert not seals.fits("a", pack)
    seals.seal("a", pack)
    assert seals.fits("a", pack)
    assert Seals(tmp_path / "keys", tmp_path).fits("a", pack)
    assert not seals.fits("b", pack)
    (pack / "pack.json").write_text("{} ", encoding="utf-8")
    assert not seals.fits("a", pack)


def test_a_folder_from_elsewhere_brings_no_seal_that_fits(tmp_path: Path) -> None:
    pack = pack_in(tmp_path / "a-pack")
    Seals(tmp_path / "theirs", tmp_path).seal("a", pack)
    assert not Seals(tmp_path / "mine", tmp_path).fits("a", pack)
    assert not Seals(None, tmp_path).fits("a", pack)


def test_the_key_is_the_users_alone(tmp_path: Path) -> None:
    Seals(tmp_path / "keys", tmp_path)
    key = tmp_path / "keys" / "desk.key"
    assert stat.S_IMODE(key.stat().st_mode) == 0o600
    key.write_bytes(b"short")
    Seals(tmp_path / "keys", tmp_path)
    assert len(key.read_bytes()) == 32


def test_a_place_that_takes_no_key_is_no_trouble(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    pack = pack_in(tmp_path / "a-pack")
    seals = Seals(tmp_path / "file", tmp_path)
    seals.seal("a", pack)
    assert seals.fits("a", pack)


def test_the_key_lies_where_the_sound_rooms_store_does(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from reedwright.sound.cache import default_folder

    for values in (
        {"REEDWRIGHT_CACHE": str(tmp_path)},
        {"REEDWRIGHT_CACHE": "off"},
        {"REEDWRIGHT_CACHE": "", "XDG_CACHE_HOME": str(tmp_path)},
        {"REEDWRIGHT_CACHE": "", "XDG_CACHE_HOME": "relative"},
    ):
        for key, value in values.items():
            monkeypatch.setenv(key, value)
        assert key_folder() == default_folder()


def test_a_page_from_elsewhere_is_shown_as_nobodys() -> None:
    ours = headers_of("lesson.html", made_here=True)["Content-Security-Policy"]
    others = headers_of("lesson.html", made_here=False)["Content-Security-Policy"]
    assert ours == PAGE_POLICY
    assert others == PAGE_POLICY + "; sandbox allow-scripts allow-downloads"
    assert "'self'" not in ours
    assert "allow-same-origin" not in others
    for path in ("harp.svg", "audio/x.svg"):
        assert "sandbox" in headers_of(path, made_here=True)["Content-Security-Policy"]
    assert "attachment" in headers_of("band.mid", made_here=True)["Content-Disposition"]
