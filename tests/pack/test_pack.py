"""Packs of whole tunes: complete, the same every time, made again only after a change."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from reedwright.errors import FileError, InputError, TuneError
from reedwright.pack import pack as room
from reedwright.pack import recipes
from reedwright.pack.choices import Audio, Choices
from reedwright.pack.pack import pack
from reedwright.sheet.options import TabStyle
from reedwright.tune import load
from tests.pack.folders import TUNE, files_in, hidden, manifest_of, untrue

NAMES = {
    "band.mid", "check.json", "harp.svg", "sheet-1.svg", "sheet-large.pdf", "sheet.pdf",
    "sheet.txt", "tune.mid", "tune.musicxml", "tune.reed",
}  # fmt: skip
OWN = 'name = "raised five"\nbase = "richter"\n[change]\n"5d" = 18\n'


@pytest.fixture
def tune(tmp_path: Path) -> Path:
    path = tmp_path / "small.reed"
    path.write_text(TUNE)
    return path


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "lesson"


def test_a_pack_holds_everything(tune: Path, folder: Path) -> None:
    told: list[str] = []
    packed = pack(tune, folder, Choices(), lambda _, __, name: told.append(name))
    assert packed.moved is not None
    assert set(packed.files) == set(packed.moved.written) == set(told) == NAMES
    files = files_in(folder)
    assert set(files) == NAMES | {"pack.json"}
    assert untrue(folder) == []
    assert files["tune.reed"] == TUNE.encode()
    assert files["sheet.pdf"][:5] == files["sheet-large.pdf"][:5] == b"%PDF-"
    assert files["tune.mid"][:4] == b"MThd"
    assert files["tune.musicxml"].startswith(b"<?xml")
    assert json.loads(files["check.json"])["schema"] == "reedwright.check/1"
    made = manifest_of(folder)
    assert made["schema"] == "reedwright.pack/1"
    assert made["harp"] == {
        "key": "C",
        "variant": "standard",
        "tuning": "Richter",
        "a4_hz": 440.0,
        "temperament": "equal",
    }
    assert (made["title"], made["position"], made["key"]) == ("Small", 2, "G")


def test_the_same_tune_gives_the_same_bytes_in_another_process(tune: Path, tmp_path: Path) -> None:
    pack(tune, tmp_path / "here", Choices(audio=Audio(("mp3",))))
    words = [sys.executable, "-m", "reedwright", "pack", str(tune), "-o", str(tmp_path / "there")]
    nothing_kept = os.environ | {"REEDWRIGHT_CACHE": "off"}
    subprocess.run(words, check=True, capture_output=True, env=nothing_kept)
    assert files_in(tmp_path / "here") == files_in(tmp_path / "there")


def test_nothing_is_made_when_nothing_changed(
    tune: Path, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = pack(tune, folder, Choices())
    times = {path: path.stat().st_mtime_ns for path in folder.iterdir()}
    again = pack(tune, folder, Choices())
    assert (again.moved, again.report) == (None, None)
    assert (again.title, again.files) == ("Small", first.files)
    assert {path: path.stat().st_mtime_ns for path in folder.iterdir()} == times


def test_a_fresh_pack_imports_no_engraver_and_reads_no_tune(tune: Path, folder: Path) -> None:
    pack(tune, folder, Choices(audio=Audio(("mp3",))))
    script = (
        "import sys; from reedwright.cli.main import main\n"
        f"code = main(['pack', {str(tune)!r}, '-o', {str(folder)!r}])\n"
        "heavy = ('verovio', 'typst', 'fontTools', 'lxml', 'mido', 'numpy', 'numba', 'soundfile',"
        " 'reedwright.tune', 'reedwright.check')\n"
        "print([name for name in heavy if name in sys.modules], code)"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    assert done.stdout.splitlines() == [
        f"Small: nothing has changed, {folder} is up to date.",
        "[] 0",
    ]


CHANGES = ("tune", "choices", "recipe", "library", "file gone", "file changed", "no manifest")


@pytest.mark.parametrize("change", CHANGES)
def test_any_change_makes_it_again(
    change: str, tune: Path, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    pack(tune, folder, Choices())
    choices = Choices()
    if change == "tune":
        tune.write_text(TUNE.replace("4b", "4b&4d"))
    elif change == "choices":
        choices = Choices("letter", TabStyle.ARROWS)
    elif change == "recipe":
        monkeypatch.setitem(recipes.RECIPES, "midi", recipes.RECIPES["midi"] + 1)
    elif change == "library":
        monkeypatch.setattr(room, "library_versions", lambda **_: {"verovio": "0"})
    elif change == "file gone":
        (folder / "tune.mid").unlink()
    elif change == "file changed":
        (folder / "sheet.txt").write_text("mine")
    else:
        (folder / "pack.json").unlink()
    again = pack(tune, folder, choices)
    assert again.moved is not None
    assert untrue(folder) == []
    assert hidden(folder) == []
    if change in ("file gone", "file changed"):
        assert again.moved.written == ({"file gone": "tune.mid"}.get(change, "sheet.txt"),)
        assert len(again.moved.kept) == (change == "file changed")
    assert pack(tune, folder, choices).moved is None


def test_a_tune_with_errors_is_not_packed_and_the_old_pack_stays(tune: Path, folder: Path) -> None:
    pack(tune, folder, Choices())
    before = files_in(folder)
    tune.write_text(TUNE.replace("3d'", "5d'"))
    packed = pack(tune, folder, Choices())
    assert packed.refused
    assert packed.moved is None
    assert files_in(folder) == before
    tune.write_text("Title: only\n")
    with pytest.raises(InputError):
        pack(tune, folder, Choices())
    assert files_in(folder) == before


def test_faulty_lungs_are_told_with_the_other_faults_at_their_place(
    tune: Path, folder: Path
) -> None:
    tune.write_text("Lungs: start 17\n" + TUNE.replace("3d'", "3z"))
    with pytest.raises(TuneError) as caught:
        pack(tune, folder, Choices())
    places = [str(problem.place) for problem in caught.value.problems]
    assert places == [f"{tune}:1:8", f"{tune}:7:7"]


def test_a_tune_with_errors_makes_no_folder(tune: Path, folder: Path) -> None:
    tune.write_text(TUNE.replace("3d'", "5d'"))
    assert pack(tune, folder, Choices()).refused
    assert not folder.exists()


def test_own_tunings_go_along_and_are_watched(tune: Path, folder: Path) -> None:
    own = tune.parent / "mine.toml"
    own.write_text(OWN)
    tune.write_text(TUNE.replace("Position", "Tuning: mine.toml\nPosition"))
    packed = pack(tune, folder, Choices())
    assert set(packed.files) == NAMES | {"mine.toml"}
    assert (folder / "mine.toml").read_text() == OWN
    assert pack(tune, folder, Choices()).moved is None
    copy = pack(folder / "tune.reed", tune.parent / "copy", Choices())  # a pack can be packed
    assert copy.files == packed.files
    own.write_text(OWN.replace("18", "19"))
    assert pack(tune, folder, Choices()).moved is not None
    own.unlink()
    with pytest.raises(InputError):
        pack(tune, folder, Choices())


def refusal(path: Path, name: str) -> str:
    return (
        f"{path}: the pack would put its own {name} in place of this file of yours. "
        "Mend: choose a folder apart from the tune, such as one below it."
    )


def test_a_pack_never_takes_the_place_of_its_own_tune(tmp_path: Path, tune: Path) -> None:
    pack(tune, tmp_path, Choices())  # beside small.reed: nothing of one name
    copy = tmp_path / "tune.reed"
    link = tmp_path / "link.reed"
    link.symlink_to(copy)
    copy.write_text(TUNE.replace("Small", "Smaller"))  # the copy is edited and packed in its place
    before = files_in(tmp_path)
    for path in (copy, link):
        with pytest.raises(FileError) as caught:
            pack(path, tmp_path, Choices())
        assert str(caught.value) == refusal(path, "tune.reed")
    assert files_in(tmp_path) == before
    packed = pack(tune, tmp_path, Choices())  # what was edited is kept when another tune comes
    assert packed.moved is not None
    assert packed.moved.kept == (("tune.reed", "tune.kept.reed"),)
    assert "Smaller" in (tmp_path / "tune.kept.reed").read_text()


@pytest.mark.parametrize("name", ["sheet.txt", "sheet-1.svg", "pack.json"])
def test_a_tune_of_the_name_of_a_sheet_is_spared(name: str, tmp_path: Path) -> None:
    path = tmp_path / name
    path.write_text(TUNE)
    with pytest.raises(FileError) as caught:
        pack(path, tmp_path, Choices())
    assert str(caught.value) == refusal(path, name)
    assert files_in(tmp_path) == {name: TUNE.encode()}


def test_an_own_tuning_is_never_claimed_by_a_pack_beside_it(tune: Path, folder: Path) -> None:
    own = tune.parent / "mine.toml"
    own.write_text(OWN)
    tune.write_text(TUNE.replace("Position", "Tuning: mine.toml\nPosition"))
    with pytest.raises(FileError) as caught:
        pack(tune, tune.parent, Choices())
    assert str(caught.value) == refusal(own, "mine.toml")
    pack(tune, folder, Choices())
    tune.rename(folder / "other.reed")  # the pack is fresh, but beside its tune
    with pytest.raises(FileError) as caught:
        pack(folder / "other.reed", folder, Choices())
    assert str(caught.value) == refusal(folder / "mine.toml", "mine.toml")


def test_a_copy_of_the_tune_that_the_user_made_is_kept(tune: Path, folder: Path) -> None:
    folder.mkdir()
    (folder / "tune.reed").write_text(TUNE)
    packed = pack(tune, folder, Choices())
    assert packed.moved is not None
    assert packed.moved.kept == (("tune.reed", "tune.kept.reed"),)
    tune.write_text(TUNE.replace("Small", "Other"))
    pack(tune, folder, Choices())
    assert (folder / "tune.kept.reed").read_text() == TUNE


def test_a_copied_folder_is_still_fresh(tune: Path, folder: Path, tmp_path: Path) -> None:
    pack(tune, folder, Choices())
    shutil.copytree(folder, tmp_path / "copy")
    assert pack(tune, tmp_path / "copy", Choices()).moved is None


def test_something_else_where_the_folder_should_be(tune: Path, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    (tmp_path / "nowhere").symlink_to("missing")
    for name in ("file", "nowhere", "y" * 300):
        with pytest.raises(FileError, match="Mend: "):
            pack(tune, tmp_path / name, Choices())
    assert (tmp_path / "file").read_text() == "x"


def test_the_bound_on_a_tune_is_the_tune_rooms() -> None:
    assert room.MAX_BYTES == load.MAX_BYTES


def test_a_file_of_ones_own_that_a_pack_cannot_carry(tune: Path, folder: Path) -> None:
    (tune.parent / ".mine.toml").write_text(OWN)
    tune.write_text(TUNE.replace("Harp:", "Tuning: .mine.toml\nHarp:"))
    with pytest.raises(TuneError) as caught:
        pack(tune, folder, Choices())
    assert str(caught.value) == (
        f"{tune}:2:9: '.mine.toml' beside the tune. A pack carries no hidden file, and no name of "
        "200 characters. Mend: rename the file."
    )
    assert not folder.exists()


def test_libraries_that_are_not_installed_are_called_unknown(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    assert set(recipes.library_versions()) == {"fonttools", "lxml", "mido", "typst", "verovio"}
    assert "unknown" not in recipes.library_versions().values()
    monkeypatch.setattr(recipes, "_LIBRARIES", ("no-such-library",))
    assert recipes.library_versions() == {"no-such-library": "unknown"}
