"""Captions read back by parsers that are not ours: webvtt-py (MIT), srt (MIT), and the track
element of Chromium, which follows W3C WebVTT.

What is compared: every time, every text as it is shown (escapes undone by the reader), and, in
Chromium, the moments inside a cue. Titles, names and tab hold what the formats trip over.
"""

from __future__ import annotations

import json
import re
from html import unescape
from io import StringIO
from pathlib import Path
from typing import Any

import pytest

from reedwright.lesson.captions import Captioner
from reedwright.lesson.captiontext import Manner, key_hints
from reedwright.lesson.cue import MOST_MS, Cue, Run
from reedwright.lesson.srt import srt as as_srt
from reedwright.lesson.vtt import webvtt as as_vtt
from reedwright.lesson.words.speech import tune_words
from tests.lesson.recordings import heard
from tests.lesson.taught import DEMOS, demo

CHROMIUM = Path("/usr/bin/chromium")

AWKWARD = (
    Cue(0, 900, ((Run("1"), Run(" 2", 450)),)),
    Cue(900, 2_000, ((Run("a & b &amp; <i>c</i> <00:00:01.000>"), Run(" x", 1_500)), (Run("y"),))),
    Cue(2_000, 3_000, ((Run("1 --> 2"),), (Run('"quoted" \u2068\u05d0\u05d1 1\u2069 {\\an8}'),))),
    Cue(3_000, 4_000, ((Run("NOTE"),), (Run("WEBVTT"),), (Run("STYLE &lrm; &nbsp;"),))),
    Cue(359_990_000, MOST_MS, ((Run("the last"), Run(" word", 359_995_000)),)),
)
TITLE = "NOTE --> <b>\n\n00:00.000 --> 00:01.000\nnot a cue & </script>"


def of_demo(name: str) -> list[tuple[Cue, ...]]:
    """The captions of every recording at the first tempo of a demo tune."""
    taught = demo(name)
    captioner = Captioner(taught.score, Manner(hints=key_hints(tune_words(taught))))
    recordings = heard(taught.score, taught.score.tune.tempos_bpm[:1])
    return [cues for _, cues in captioner.each(recordings)]


def all_of_them() -> list[tuple[Cue, ...]]:
    return [AWKWARD, *(cues for name in DEMOS for cues in of_demo(name))]


def without_moments(text: str) -> str:
    """What webvtt-py leaves in the text: tags and escapes are for whoever shows it."""
    return unescape(re.sub(r"<[^>]*>", "", text))


def test_webvtt_py_reads_every_cue() -> None:
    webvtt = pytest.importorskip("webvtt", reason="webvtt-py is not installed")
    for cues in all_of_them():
        read = list(webvtt.from_buffer(StringIO(as_vtt(cues, TITLE))))
        assert [(one.start_in_seconds, one.identifier) for one in read] == [
            (cue.start_ms // 1000, str(number)) for number, cue in enumerate(cues, 1)
        ]
        assert [(_ms(one.start), _ms(one.end), without_moments(one.raw_text)) for one in read] == [
            (cue.start_ms, cue.end_ms, cue.text) for cue in cues
        ]


def _ms(clock: str) -> int:
    hours, minutes, seconds = clock.split(":")
    return (int(hours) * 60 + int(minutes)) * 60_000 + round(float(seconds) * 1000)


def test_srt_reads_every_cue() -> None:
    srt = pytest.importorskip("srt", reason="srt is not installed")
    for cues in all_of_them():
        read = list(srt.parse(as_srt(cues), ignore_errors=False))
        assert [
            (
                one.index,
                round(one.start.total_seconds() * 1000),
                round(one.end.total_seconds() * 1000),
            )
            for one in read
        ] == [(number, cue.start_ms, cue.end_ms) for number, cue in enumerate(cues, 1)]
        shown = [one.content for one in read]
        wanted = [cue.text.replace("-->", "→") for cue in cues]
        look_alike = str.maketrans("<>{}", "‹›()")
        assert shown == [text.translate(look_alike) for text in wanted]
        assert srt.compose(read, reindex=False).strip() == as_srt(cues).strip()


READ = """async texts => {
  const read = [];
  for (const text of texts) {
    const video = document.createElement('video');
    const track = document.createElement('track');
    track.src = URL.createObjectURL(new Blob([text], {type: 'text/vtt'}));
    track.kind = 'captions';
    video.append(track);
    document.body.append(video);
    const loaded = new Promise((yes, no) => { track.onload = yes; track.onerror = no; });
    track.track.mode = 'hidden';
    await loaded;
    read.push([...track.track.cues].map(cue => {
      const nodes = [], parts = cue.getCueAsHTML();
      const walk = document.createTreeWalker(parts, NodeFilter.SHOW_ALL);
      while (walk.nextNode()) {
        const node = walk.currentNode;
        nodes.push([node.nodeName, node.nodeType === 7 ? node.data : node.textContent]);
      }
      return {id: cue.id, start: cue.startTime, end: cue.endTime, text: parts.textContent, nodes};
    }));
    video.remove();
  }
  return read;
}"""


def read_by_chromium(texts: list[str]) -> list[list[dict[str, Any]]]:
    pytest.importorskip("playwright", reason="playwright is not installed")
    if not CHROMIUM.exists():
        pytest.skip("there is no Chromium at /usr/bin/chromium")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=str(CHROMIUM), args=["--no-sandbox"])
        page = browser.new_page()
        page.set_content("<!doctype html><title>captions</title>")
        found = page.evaluate(READ, texts)
        browser.close()
    return json.loads(json.dumps(found))


@pytest.mark.slow
def test_chromium_reads_every_cue_and_every_moment() -> None:
    every = all_of_them()
    read = read_by_chromium([as_vtt(cues, TITLE) for cues in every])
    for cues, found in zip(every, read, strict=True):
        assert [one["id"] for one in found] == [str(number) for number in range(1, len(cues) + 1)]
        assert [one["text"] for one in found] == [cue.text for cue in cues]
        times = [(round(one["start"] * 1000), round(one["end"] * 1000)) for one in found]
        assert times == [(cue.start_ms, cue.end_ms) for cue in cues]
        for cue, one in zip(cues, found, strict=True):
            kinds = {name for name, _ in one["nodes"]}
            assert kinds <= {"#text", "timestamp"}  # nothing became a tag
            moments = [_ms(text) for name, text in one["nodes"] if name == "timestamp"]
            wanted = [run.at_ms for line in cue.lines for run in line if run.at_ms is not None]
            # it writes them anew from a double, cut to the millisecond
            assert moments == pytest.approx(wanted, abs=1)
