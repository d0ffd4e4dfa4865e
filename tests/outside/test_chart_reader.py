"""The SVG chart read and drawn by an independent SVG reader (usvg and resvg, inside typst)."""

import io
from pathlib import Path

import pytest
import typst
from PIL import Image

from reedwright.harp.chart_svg import chart_svg
from reedwright.harp.harp import harp_named

HARPS = [("C", None), ("A natural minor", 2), ("C slide", 1)]
PAGE = '#set page(width: auto, height: auto, margin: 0pt)\n#image("chart.svg", width: 600pt)'


@pytest.mark.parametrize(("name", "position"), HARPS)
def test_the_chart_is_drawn(tmp_path: Path, name: str, position: int | None) -> None:
    (tmp_path / "chart.svg").write_text(chart_svg(harp_named(name), position), encoding="utf-8")
    page = tmp_path / "page.typ"
    page.write_text(PAGE)
    drawn = typst.compile(str(page), format="png", ppi=72.0, ignore_system_fonts=True)
    assert isinstance(drawn, bytes)
    with Image.open(io.BytesIO(drawn)) as image:
        grey = image.convert("L")
        dark = sum(grey.histogram()[:64]) / (grey.width * grey.height)
        assert 0.05 < dark < 0.35  # outlines, the comb and the key notes, but no filled page
        assert grey.getpixel((2, grey.height // 2)) == 255
