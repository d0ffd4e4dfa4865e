"""A tune on another harp: the tab kept, or the melody kept."""

from __future__ import annotations

from pathlib import Path

import pytest

from reedwright.errors import HarpError, TuneError
from reedwright.fit.effort import effort
from reedwright.fit.newharp import on_harp
from reedwright.fit.retab import from_position
from reedwright.tune.place import place
from reedwright.tune.read import read_tune
from reedwright.tune.tune import Tune
from reedwright.tune.write import write_tune

DEMO = sorted((Path(__file__).parents[2] / "demo").glob("*.reed"))


def tune_of(*lick: str, **head: str) -> Tune:
    lines = {"Title": "T", "Harp": "C", "Position": "2"} | head
    header = "\n".join(f"{key}: {value}" for key, value in lines.items())
    return read_tune(header + "\n\nLick Call\n" + "\n".join(lick) + "\n")


def heard(tune: Tune, by: int = 0) -> list[tuple[object, ...]]:
    """Start, length and pitches of everything, moved by so many semitones."""
    score = place(tune)
    assert score.findings == ()
    return [
        (e.start, e.length, *sorted(tune.harp.midi(note) + by for note in e.sound.reeds))
        for e in score.events
    ]


@pytest.mark.parametrize("path", DEMO, ids=lambda path: path.stem)
@pytest.mark.parametrize("name", ["A", "low D", "F#"])
def test_the_same_tab_sounds_so_much_higher_everywhere(path: Path, name: str) -> None:
    tune = read_tune(path.read_text(encoding="utf-8"))
    new = read_tune(write_tune(on_harp(tune, name)))
    assert new.harp.name.startswith(name)
    assert new.position == tune.position
    by = new.harp.key_midi - tune.harp.key_midi
    assert heard(new) == heard(tune, by)
    spans = [span.chord.degree(tune.key) for bar in tune.form.bars for span in bar]
    assert [span.chord.degree(new.key) for bar in new.form.bars for span in bar] == spans


def test_what_the_file_says_of_keys_moves_along() -> None:
    tune = tune_of(
        "1: 2d . . .", Key="G minor", Form="Gm7 | C7 / D7 / | % | iv7", Tuning="spiral from D"
    )
    head = {item.key: item.value for item in on_harp(tune, "D").head}  # type: ignore[union-attr]
    assert head["Harp"] == "D"
    assert head["Key"] == "A minor"
    assert head["Form"] == "Am7 | D7 / E7 / | % | iv7"
    assert head["Tuning"] == "spiral from E"


def test_no_harp_of_that_name() -> None:
    with pytest.raises(HarpError):
        on_harp(tune_of("1: 2d . . ."), "H")


@pytest.mark.parametrize("position", [1, 2, 3, 4, 12])
def test_the_same_melody_from_another_position(position: int) -> None:
    tune = tune_of("1: 2d&3d 4d 5d&4d 4b", "2: 3d&3b 2d = .", "3: 1d&2d 3d'&3d 4d 2d")
    made = from_position(tune, position, effort())
    new = read_tune(write_tune(made.text))
    assert new.position == position
    assert new.key == tune.key
    by = 12 * made.octaves
    assert heard(new) == heard(tune, by)


def test_chords_splits_and_shakes_keep_their_notes() -> None:
    tune = tune_of("1: 1+2+3b 1+4b 4x5b .", Position="1")
    made = from_position(tune, 1, effort())
    assert heard(read_tune(write_tune(made.text))) == heard(tune)


def test_marks_stay_where_they_can() -> None:
    tune = tune_of("1: /4d 2d\\\\ 4dv 4d!")
    made = from_position(tune, 1, effort())
    text = write_tune(made.text)
    assert "v" in text.splitlines()[-1]
    assert "!" in text.splitlines()[-1]
    for lost in made.lost:
        assert lost.startswith("Call: the ")
    assert len(heard(read_tune(text))) == 4


def test_every_sound_without_a_place_is_named() -> None:
    tune = tune_of("1: 2+3+4d 2d 1+2+3d .", Form="12-bar")
    with pytest.raises(TuneError) as caught:
        from_position(tune, 5, effort())
    told = [str(problem) for problem in caught.value.problems]
    assert len(told) >= 1
    assert all(
        "has no place on the" in each and "Mend: try another position" in each for each in told
    )
    assert caught.value.problems[0].place.line == 7
    with pytest.raises(HarpError):
        from_position(tune, 13, effort())


def test_a_beginner_gets_no_bends() -> None:
    tune = tune_of("1: 2d 3d 4d .", Student="beginner")
    made = from_position(tune, 1, effort())
    assert "'" not in write_tune(made.text).rpartition("Lick")[2]


def test_a_tune_without_sounds() -> None:
    made = from_position(tune_of("1: . . . ."), 1, effort())
    assert "1: . . . ." in write_tune(made.text)
