"""Any bytes at all: a melody or one clear error, quickly; and the choice of a tune in a book."""

from __future__ import annotations

import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.fit.melody import MelodyError
from reedwright.fit.reading import Reading
from reedwright.fit.sources import read_melody
from tests.fit.files import ATTRIBUTES, SCALE, midi, name, note, notes, packed, score, tempo, track

ABC = b'X:1\nT:One\nM:6/8\nQ:3/8=100\nK:Dmix\n|:"D"A>BA (3fed [Ac]2-|[Ac]z{b}^c\'/ V2:|[2 =B,,3|]\n'
MIDI = midi(track(name("Tune"), tempo(500_000), *notes(SCALE)), track(*notes(SCALE[:3], 200, 2)))
XML = score(f"<measure>{ATTRIBUTES}{note('G', 4, 2)}{note('A', 4, 3)}</measure>")
FILES = {"a.abc": ABC, "a.mid": MIDI, "a.musicxml": XML, "a.mxl": packed(XML)}


def outcome(data: bytes, filename: str) -> Reading | str:
    """A reading, or the words of the one error there may be."""
    try:
        return read_melody(data, filename, 1)
    except MelodyError as error:
        said = str(error)
        assert said
        assert "\n" not in said
        assert len(said) < 2000
        return said


@pytest.mark.parametrize("filename", FILES)
def test_the_files_to_be_broken_are_whole(filename: str) -> None:
    assert isinstance(outcome(FILES[filename], filename), Reading)


@given(st.binary(max_size=300), st.sampled_from(sorted(FILES)))
def test_any_bytes(data: bytes, filename: str) -> None:
    outcome(data, filename)


@given(st.data())
def test_broken_files(data: st.DataObject) -> None:
    """Bytes of a good file changed, dropped, doubled."""
    filename = data.draw(st.sampled_from(sorted(FILES)))
    broken = bytearray(FILES[filename])
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(broken) - 1))
        match data.draw(st.sampled_from(("change", "drop", "double", "cut"))):
            case "change":
                broken[at] = data.draw(st.integers(0, 255))
            case "drop":
                del broken[at : at + data.draw(st.integers(1, 20))]
            case "double":
                broken[at:at] = broken[at : at + data.draw(st.integers(1, 40))]
            case _:
                del broken[max(at, 8) :]
        broken = broken or bytearray(b"x")
    outcome(bytes(broken), filename)


@given(st.text(alphabet="ABCDEFGabcg^_=,'/0123456789-<>()[]{}|:\"!+zZ&%\\ \nKVMLQX", max_size=200))
def test_any_abc(body: str) -> None:
    outcome(b"X:1\nK:C\n" + body.encode(), "a.abc")


@given(st.text(alphabet='0123456789abcdCDEFG#b/="- ', max_size=30), st.sampled_from("MLQK"))
def test_any_field(value: str, letter: str) -> None:
    outcome(f"X:1\n{letter}:{value}\nK:C\nCDE|\n".encode(), "a.abc")


@pytest.mark.parametrize(
    ("data", "filename"),
    [
        (b"X:1\nK:C\n" + b"C" * 1_000_000, "a.abc"),
        (b"X:1\nK:C\n" + b"[" * 1_000_000, "a.abc"),
        (b"X:1\nK:C\n" + b'"' * 1_000_000, "a.abc"),
        (b"X:1\nK:C\n" + b"C9999999999999/9999999 " * 20_000, "a.abc"),
        (midi(track(*notes([60, 62] * 500_000, 10))), "a.mid"),
        (midi(track(*notes([60, 62] * 80_000, 10))), "a.mid"),
        (score(f"<measure>{note('G', 4, 2) * 90_000}</measure>"), "a.xml"),
        (b"<a>" * 2_000_000, "a.xml"),
    ],
)
def test_files_of_a_million(data: bytes, filename: str) -> None:
    """Each is answered within seconds (a minute is allowed on a busy machine)."""
    begun = time.monotonic()
    assert isinstance(outcome(data, filename), str)
    assert time.monotonic() - begun < 60


def test_a_book_asks_for_a_number() -> None:
    book = b"X:1\nT:One\nK:C\nCDE\n\nX:2\nT:Two\nK:C\nGGG\n"
    with pytest.raises(MelodyError) as caught:
        read_melody(book, "book.abc")
    assert str(caught.value) == (
        "a book of 2 tunes. They are: 1 One; 2 Two. Mend: choose one, such as --part 1, or see "
        "them all with --table."
    )
    assert read_melody(book, "book.abc", 2).melody.title == "Two"
    with pytest.raises(MelodyError, match=r"no tune 3\. The book has tunes 1 to 2"):
        read_melody(book, "book.abc", 3)


def test_no_known_format() -> None:
    for data, said in ((b"", "an empty file"), (b"%PDF-1.7", "a file of no known format")):
        with pytest.raises(MelodyError, match=said):
            read_melody(data, "x.pdf")


def test_midi_in_a_riff_frame() -> None:
    framed = b"RIFF" + len(MIDI).to_bytes(4, "little") + b"RMIDdata" + bytes(4) + MIDI
    assert isinstance(outcome(framed, "a.rmi"), Reading)
