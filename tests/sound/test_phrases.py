"""Phrases: together they are the harp, an edit touches its own only, and they stand anywhere."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np

from reedwright.amp.read import default_rig
from reedwright.amp.rig import Rig
from reedwright.amp.values import Echo
from reedwright.sound.cache import Store
from reedwright.sound.phrases import GAP, dry, in_hands, rig_tail, through_amp
from reedwright.sound.sources import Sources, line
from reedwright.voice.stem import voice_stem
from tests.sound.tunes import BODY, score_of, sources

APART = "\nLick A\n1: 2d . . .\n2: 3d&4d 4d . .\n3: 4b . . .\n"
STORE = Store(None)


def test_together_they_are_the_voices_own_stem() -> None:
    for body in (BODY, APART):
        made = sources(score_of(body))
        found = made.phrases(None)
        whole = voice_stem(made.take.played)
        mine = line(found, dry, STORE)
        start = found[0].start
        heard = np.zeros_like(whole)
        size = min(len(mine), len(whole) - start)
        heard[start : start + size] = mine[:size]
        assert np.abs(heard - whole)[: len(whole) - 480].max() < 1e-6  # its last 10 ms are faded


def test_silence_parts_them() -> None:
    found = sources(score_of(APART)).phrases(None)
    assert len(found) == 3
    for one, other in pairwise(found):
        assert other.start - one.start - one.samples >= GAP


def test_an_edit_changes_its_own_phrase_only() -> None:
    before = sources(score_of(APART)).phrases(None)
    after = sources(score_of(APART.replace("3d&4d", "3d&4b"))).phrases(None)
    same = [a.key == b.key and a.cup_key == b.cup_key for a, b in zip(before, after, strict=True)]
    assert same == [True, False, True]


def test_a_lick_by_itself_is_made_of_the_same_phrases() -> None:
    body = "\nLick A\n1: 2d 3d . .\n\nLick B\n1: 4d . . .\n\nChorus\n1 A\n3 B\n"
    made = sources(score_of(body))
    ids = frozenset(event.id for event in made.take.score.events if event.lick == "B")
    assert made.phrases(ids)[0].key == made.phrases(None)[1].key
    assert made.phrases(ids)[0].cup_key == made.phrases(None)[1].cup_key


def test_only_chosen_sounds() -> None:
    made = sources(score_of())
    ids = frozenset(event.id for event in made.take.score.events if event.lick == "Train")
    starts = [one.start for one in made.phrases(ids)]
    assert len(starts) == 2
    assert made.phrases(frozenset()) == ()


def test_hands_and_amplifier_keep_step_with_the_voice() -> None:
    phrase = sources(score_of()).phrases(None)[0]
    voice = dry(phrase, STORE).astype(float)
    for sound in (in_hands(phrase, STORE), through_amp(phrase, default_rig(), STORE)):
        assert len(sound) >= len(voice)
        loud = np.convolve(np.abs(voice), np.ones(480), "same")
        heard = np.convolve(np.abs(sound[: len(voice)].astype(float)), np.ones(480), "same")
        assert np.corrcoef(loud, heard)[0, 1] > 0.8


def test_nothing_is_cut_off_behind_a_phrase() -> None:
    phrase = sources(score_of(APART)).phrases(None)[0]
    for rig in (default_rig(), _echoing()):
        sound = through_amp(phrase, rig, STORE)
        assert np.abs(sound[-480:]).max() < 3e-3 * np.abs(sound).max()


def test_an_echo_makes_the_tail_longer() -> None:
    assert rig_tail(_echoing()) > rig_tail(default_rig()) + 48_000 // 10


def test_an_edit_renders_its_segments_only(tmp_path: Path) -> None:
    line(sources(score_of(APART)).phrases(None), in_hands, Store(tmp_path))
    kept = {path.name for path in tmp_path.rglob("*") if path.is_file()}
    edited: Sources = sources(score_of(APART.replace("3d&4d", "3d&4b")))
    line(edited.phrases(None), in_hands, Store(tmp_path))
    new = {path.name for path in tmp_path.rglob("*") if path.is_file()} - kept
    assert len(new) <= 4  # two notes that changed or touch it, their phrase, the phrase in hands


def _echoing() -> Rig:
    return replace(default_rig(), echo=Echo(135.0, 40.0, 12.0))
