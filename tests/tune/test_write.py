"""Tunes as text: what is read is written, and tidied once for all."""

from hypothesis import example, given
from hypothesis import strategies as st

from reedwright.tune.read import read_text, read_tune
from reedwright.tune.values import Chorus, Comment, Entry, Header, Lick, Remark, TuneText
from reedwright.tune.write import WIDTH, write_tune
from tests.strategies import lick_names, lines, remarks, sounds, tunes_as_text

keys = st.from_regex(r"[A-Z][a-z0-9]{0,8}( [a-z]{1,8})?", fullmatch=True).filter(
    lambda key: key.split()[0].lower() not in ("lick", "chorus", "meter", "tab", "not")
)
values = st.one_of(
    st.just(""),
    lines,
    st.lists(
        st.sampled_from(["word", "#", ">", "Lick", "chorus", "Key:", "Not yet:", "w" * 90, "é"]),
        max_size=60,
    ).map(" ".join),
)
heads = st.lists(st.builds(Header, keys, values) | remarks, max_size=6).map(tuple)


@given(tunes_as_text(sounds), st.booleans())
def test_write_and_read_are_one(text: TuneText, signed: bool) -> None:
    if signed:
        text = TuneText((*text.head, Header("Tab", "signed")), text.blocks)
    written = write_tune(text, signed)
    assert read_text(written) == (text, signed)
    assert read_tune(written).text == text


@given(heads)
@example((Header("Title", " ".join(["x"] * 1900)),))
@example((Header("Title", "w" * 3800 + " Chorus Tempo: x"),))
def test_any_header_comes_back(head: tuple[Header | Remark | Comment, ...]) -> None:
    written = write_tune(TuneText(head))
    assert read_text(written)[0].head == head
    assert written.endswith("\n")


@given(lick_names, st.integers(2, 5))
def test_several_choruses_are_numbered(name: str, times: int) -> None:
    lick = Lick(name)
    one, two = Chorus((Entry(1, name),), times), Chorus((Entry(1, ""),))
    written = write_tune(TuneText((), (lick, one, two)))
    assert f"Chorus 1, {times} times\n" in written
    assert f"Chorus {times + 1}\n" in written
    assert write_tune(TuneText((), (lick, two))).splitlines()[2] == "Chorus"


def test_tidy() -> None:
    untidy = (
        "\ufeffTITLE:   A   tune\r\n>remark\r\nHarp:A\n\n\n\nlick  CALL( LOUD ,  cup Closed ):\n"
        "0 :  .  . . .&2d\n# why\n1: {soft}1d+2d  =   3d’’   4dx5dv@1.50!\n"
        " 2 - 3 : AS  call , bar 1\n"
        "chorus:\n1:call , twice\n9 REST , 2 bars\nchorus 2 , 3 times\n1 call,bars 0 – 1\n"
    )
    tidy = (
        "TITLE: A tune\n> remark\nHarp: A\n\nLick CALL (cup closed, loud)\n0: . . . .&2d\n# why\n"
        "1: {soft} 1+2d = 3d'' 4x5dv@1.5!\n2-3: as call, bar 1\n\nChorus 1\n1 call, 2 times\n"
        "9 rest, 2 bars\n\nChorus 2, 3 times\n1 call, from bar 0, to bar 1\n"
    )
    assert write_tune(read_text(untidy)[0]) == tidy
    assert write_tune(read_text(tidy)[0]) == tidy


def test_long_values_go_on_in_lines_of_a_page() -> None:
    form = " | ".join(["A7"] * 60)
    written = write_tune(TuneText((Header("Form", form),)))
    assert max(map(len, written.splitlines())) <= WIDTH + 2
    assert len(written.splitlines()) > 2
