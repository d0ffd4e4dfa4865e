"""Amp files: read, refused with every fault in one go, and named by what shapes the sound."""

from __future__ import annotations

import tomllib
from contextlib import suppress
from dataclasses import asdict, replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.amp.read import MAX_CHARS, SECTIONS, default_rig, default_text, read_rig
from reedwright.amp.values import bounds
from reedwright.errors import SettingError

DEMO = sorted((Path(__file__).resolve().parents[2] / "demo").glob("*.amp"))


def faults(text: str) -> list[str]:
    with pytest.raises(SettingError) as caught:
        read_rig(text, "my.amp")
    return [str(problem) for problem in caught.value.problems]


def test_an_empty_file_is_the_default_under_another_name() -> None:
    assert read_rig("", "my.amp") == replace(default_rig(), name="My rig")
    assert read_rig(default_text(), "my.amp") == default_rig()


def test_the_default_names_every_figure_with_a_number() -> None:
    table = tomllib.loads(default_text())
    assert list(table) == ["name", *SECTIONS]
    for name, kind in SECTIONS.items():
        assert list(table[name]) == [key for key, _, _ in bounds(kind)]


def test_every_demo_can_be_read() -> None:
    assert DEMO
    for path in DEMO:
        assert read_rig(path.read_text(encoding="utf-8"), path.name).name


def test_what_is_written_is_what_is_set() -> None:
    rig = read_rig('name = "Club"\npreamp.gain_db = 20\n[echo]\nshare_percent = 30', "my.amp")
    assert rig.name == "Club"
    assert rig.preamp == replace(default_rig().preamp, gain_db=20.0)
    assert rig.echo == replace(default_rig().echo, share_percent=30.0)


def test_all_faults_in_one_go_each_at_its_line() -> None:
    text = """\
name = ""
amp = 3
[preamp]
headrom_v = 3
treble_db = "loud"
[power]
gain_db = 3
volume_db = nan
  [ echo ]
  delay_ms = 9999
[speakers]
[room]
share_percent = true
"""
    assert [line.split(". ")[0] for line in faults(text)] == [
        "my.amp:1:1: name = ''",
        "my.amp:2:1: unknown 'amp'",
        "my.amp:4:1: unknown 'headrom_v'",
        "my.amp:5:1: treble_db = 'loud'",
        "my.amp:7:1: unknown 'gain_db'",
        "my.amp:8:1: volume_db = nan",
        "my.amp:10:3: delay_ms = 9999",
        "my.amp:11:1: unknown 'speakers'",
        "my.amp:13:1: share_percent = true",
    ]


def test_the_words_of_a_fault() -> None:
    (found,) = faults("[preamp]\nheadrom_v = 3")
    assert found == (
        "my.amp:2:1: unknown 'headrom_v'. Keys of [preamp] are gain_db, headroom_v, bias_percent, "
        "bass_db, treble_db. Mend: did you mean headroom_v?"
    )
    assert faults("[echo]\ndelay_ms = 1") == [
        "my.amp:2:1: delay_ms = 1. A number from 30 to 1000 is needed. Mend: write one in between."
    ]
    assert faults("echo = 3") == ["my.amp:1:1: echo = 3. [echo] is a section. Mend: write [echo]."]


def test_more_drive_than_was_measured_is_refused_with_the_mend() -> None:
    (found,) = faults("[preamp]\ngain_db = 75")
    assert found == (
        "my.amp:2:1: a full-scale closed note drives the preamp 26.6 dB too far. 36 dB over its "
        "headroom are the most that stays clean of aliases. Mend: lower gain_db by 26.7."
    )
    (found,) = faults("[power]\nvolume_db = 30")
    assert found.startswith("my.amp:2:1: the preamp at its loudest drives the power stage")
    mended = read_rig("[preamp]\ngain_db = 48.3", "my.amp")
    assert mended.preamp.gain_db == 48.3


@pytest.mark.parametrize(
    ("text", "start"),
    [
        ("[a\n", "my.amp:1:3: Expected ']'"),
        ("[preamp]\ngain_db =", "my.amp:2:10: Invalid value"),
        ("[[preamp]]\ngain_db = 3", "my.amp: preamp = a list of 1. [preamp] is a section"),
        ("x = " + "[" * 2_000, "my.amp: tables nested too deep"),
        ("[preamp]\ngain_db = " + "9" * 5_000, "my.amp: a number too long to read"),
        ("#" * (MAX_CHARS + 1), "my.amp: 100001 characters"),
        ("cup = {closed_gain_db = 50}", "my.amp:1:1: closed_gain_db = 50"),
        ("name = 3", "my.amp:1:1: name = 3"),
        ("name = 'a\u0007'", "my.amp:1:10: "),
    ],
)
def test_what_cannot_be_read(text: str, start: str) -> None:
    assert faults(text)[0].startswith(start)


@given(st.text(max_size=200))
def test_any_text_is_read_or_refused(text: str) -> None:
    with suppress(SettingError):
        assert read_rig(text, "my.amp").name


@given(st.data())
def test_every_figure_inside_its_bounds_is_taken_or_drives_too_far(data: st.DataObject) -> None:
    name, kind = data.draw(st.sampled_from(sorted(SECTIONS.items())))
    key, low, high = data.draw(st.sampled_from(bounds(kind)))
    value = data.draw(st.floats(low, high))
    text = f"[{name}]\n{key} = {value!r}\n"
    if name in ("cup", "microphone", "preamp", "power"):
        with suppress(SettingError):  # these drive the stages; refusals have a test of their own
            assert asdict(read_rig(text, "my.amp"))[name][key] == value
    else:
        assert asdict(read_rig(text, "my.amp"))[name][key] == value


def test_the_key_follows_the_sound_and_nothing_else() -> None:
    rig = default_rig()
    assert replace(rig, name="Other").key == rig.key
    assert replace(rig, stage=replace(rig.stage, open_microphones=3.0)).key == rig.key
    assert replace(rig, listening=replace(rig.listening, hours_a_day=2.0)).key == rig.key
    for name, kind in SECTIONS.items():
        if name in ("stage", "listening"):
            continue
        for key, low, high in bounds(kind):
            section = getattr(rig, name)
            other = getattr(section, key) + (1e-3 if getattr(section, key) < high else -1e-3)
            assert low <= other <= high
            changed = replace(rig, **{name: replace(section, **{key: other})})
            assert changed.key != rig.key, key


def test_values_refuse_what_is_out_of_bounds() -> None:
    rig = default_rig()
    with pytest.raises(ValueError, match="delay_ms = 0 is not between 30 and 1000"):
        replace(rig.echo, delay_ms=0.0)
    with pytest.raises(ValueError, match="delay_ms = nan"):
        replace(rig.echo, delay_ms=float("nan"))
    with pytest.raises(ValueError, match="one line of 60"):
        replace(rig, name=" ")
    with pytest.raises(ValueError, match="preamp is driven 62"):
        replace(rig, preamp=replace(rig.preamp, gain_db=75.0))
