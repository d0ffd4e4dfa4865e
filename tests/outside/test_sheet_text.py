"""The text of a printed sheet, read by programs that know nothing of ours.

Readers: pypdf (content streams in order), pdfplumber (pdfminer, places of signs), pypdfium2
(PDFium), and poppler's pdftotext where the machine has it. Every token of tab must be there, in
the order in which it is played.
"""

import shutil
import subprocess
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import pdfplumber
import pypdfium2
import pytest

from reedwright.sheet.typeset import typeset
from tests.sheet.documents import document
from tests.sheet.pdf_reader import text_of
from tests.sheet.scores import CHORDS, LONG, PICKUP, RUN, TRIPLET, tokens

PLAYED = tokens(PICKUP, *((LONG, CHORDS, TRIPLET, RUN)[(at + at // 4) % 4] for at in range(12)))


def with_pypdf(pdf: bytes) -> str:
    return text_of(pdf)


def with_pdfplumber(pdf: bytes) -> str:
    """Signs in the order of the file, a blank wherever a text begins anew."""
    said, end = [], (0.0, 0.0)
    with pdfplumber.open(BytesIO(pdf)) as opened:
        for page in opened.pages:
            for sign in page.chars:
                if abs(sign["x0"] - end[0]) > 1 or abs(sign["top"] - end[1]) > 1:
                    said.append(" ")
                said.append(sign["text"])
                end = (sign["x1"], sign["top"])
    return "".join(said)


def with_pdfium(pdf: bytes) -> str:
    opened = pypdfium2.PdfDocument(pdf)
    try:
        return "\n".join(str(page.get_textpage().get_text_range()) for page in opened)
    finally:
        opened.close()


def in_order(wanted: list[str], said: list[str]) -> list[str]:
    """What is wanted and cannot be found after the one before it."""
    left = iter(said)
    return [token for token in wanted if token not in left]


@pytest.mark.parametrize("read", [with_pypdf, with_pdfplumber])
def test_every_tab_token_is_read_in_order(read: Callable[[bytes], str]) -> None:
    said = read(typeset(document())).split()
    assert len(PLAYED) == 86
    assert in_order(PLAYED, said) == []


def test_pdfium_reads_the_tab_in_order_though_it_joins_stacks() -> None:
    said, at = with_pdfium(typeset(document())), 0
    for token in PLAYED:
        at = said.index(token, at) + len(token)


@pytest.mark.parametrize("read", [with_pypdf, with_pdfplumber])
def test_the_music_holds_no_other_draw_notes(read: Callable[[bytes], str]) -> None:
    said = read(typeset(document())).split()
    assert [token for token in said if "−" in token] == [t for t in PLAYED if "−" in t]


def test_a_reversed_tune_would_be_noticed() -> None:
    said = with_pypdf(typeset(document())).split()
    assert in_order(PLAYED[::-1], said)


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler's pdftotext is not here")
def test_pdftotext_reads_the_tab_in_order(tmp_path: Path) -> None:
    path = tmp_path / "sheet.pdf"
    path.write_bytes(typeset(document()))
    command = ["pdftotext", "-raw", "-enc", "UTF-8", str(path), "-"]
    said = subprocess.run(command, check=True, capture_output=True, text=True).stdout.split()
    assert in_order(PLAYED, said) == []
