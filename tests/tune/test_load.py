"""Tune files on disk."""

from pathlib import Path

import pytest

from reedwright.errors import FileError, TuneError
from reedwright.tune.load import MAX_BYTES, beside, decoded, load_text, load_tune
from tests.tune.samples import HEAD

TUNE = HEAD + "\nLick A\n1: 4d . . .\n"


def test_a_tune_and_a_tuning_beside_it(tmp_path: Path) -> None:
    path = tmp_path / "x.reed"
    path.write_text("\ufeff" + TUNE, encoding="utf-8")
    assert load_tune(path).title == "T"
    path.write_text(TUNE.replace("Position", "Tuning: own.toml\nPosition"), encoding="utf-8")
    with pytest.raises(TuneError, match=r"x\.reed:3:9: 'own\.toml': no such file"):
        load_tune(path)


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"Title: \xff", "x:1:8: byte 0xFF is not UTF-8"),
        (b"\xef\xbb\xbfTitle: \xff", "x:1:8: byte 0xFF is not UTF-8"),
        ("é\r\nÜ\rTitle: ".encode() + b"\xc3(", "x:3:8: byte 0xC3 is not UTF-8"),
        ("Title".encode("utf-16"), "x:1:1: byte 0xFF is not UTF-8"),
        (b"abc\xed\xa0\x80", "x:1:4: byte 0xED is not UTF-8"),
        (b"\n\nab\xc3", "x:3:3: byte 0xC3 is not UTF-8"),
    ],
)
def test_bytes_that_are_no_text(data: bytes, words: str) -> None:
    with pytest.raises(TuneError) as caught:
        decoded(data, "x")
    rest = "A tune is plain text in UTF-8. Mend: save the file as UTF-8 in your editor."
    assert str(caught.value) == f"{words}. {rest}"


def test_a_file_of_fifty_megabytes_is_not_read(tmp_path: Path) -> None:
    path = tmp_path / "big.reed"
    with path.open("wb") as file:
        file.truncate(50_000_000)
    with pytest.raises(FileError, match=f"50,000,000 bytes, more than {MAX_BYTES:,}"):
        load_text(path)


def test_no_file_and_no_plain_file(tmp_path: Path) -> None:
    for path in (tmp_path, tmp_path / "nothing.reed", Path("/dev/zero"), tmp_path / ("x" * 300)):
        with pytest.raises(FileError, match="Mend: "):
            load_text(path)


@pytest.mark.parametrize("name", ["../x.toml", "a/x.toml", "/etc/passwd", "..", ".", ""])
def test_only_files_of_the_same_folder(tmp_path: Path, name: str) -> None:
    (tmp_path / "x.toml").write_text("secret", encoding="utf-8")
    with pytest.raises(TuneError, match="is not beside the tune"):
        beside(tmp_path / "folder" / "x.reed", name)
