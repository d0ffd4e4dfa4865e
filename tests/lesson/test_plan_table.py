"""The numbers of plans: a teacher's own copy, with every fault in one go."""

import pytest

from reedwright.errors import SettingError
from reedwright.lesson.plan import lesson_plan
from reedwright.lesson.planning import Talk
from reedwright.lesson.plantable import plan_table, read_plan_table
from reedwright.tables import packaged_text
from tests.lesson.taught import demo

TEXT = packaged_text("plan.toml")


def changed(*pairs: tuple[str, str]) -> str:
    text = TEXT
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new, 1)
    return text


def test_the_packaged_table() -> None:
    table = plan_table()
    assert table["talk"]["word-s"] == 0.42
    assert [str(line) for line in table.order.steps] == [
        "hear the tune",
        "learn each lick",
        "join each lick",
        "band the tune, slow",
        "band the tune, at tempo",
    ]


def test_a_number_of_ones_own_moves_the_plan() -> None:
    taught = demo("lantern-street.reed")
    slower = read_plan_table(changed(("word-s = 0.42", "word-s = 0.84")))
    before, after = lesson_plan(taught), lesson_plan(taught, talk=Talk(table=slower))
    assert sum(take.talk_s for take in after.takes) > 1.8 * sum(
        take.talk_s for take in before.takes
    )


def test_an_order_of_ones_own() -> None:
    table = read_plan_table(changed(("hear the tune\n", "")))
    found = lesson_plan(demo("lantern-street.reed"), talk=Talk(table=table))
    assert found.steps[0].kind == "learn"


def test_all_faults_are_told_in_one_go() -> None:
    text = changed(
        ("word-s = 0.42", 'word-s = "fast"'),
        ("ready-s = 3.0", "redy-s = 3.0"),
        ("fade = 0.6", "fade = nan"),
        ("hear the tune", "here the tune"),
    )
    with pytest.raises(SettingError) as caught:
        read_plan_table(text, "plan.toml")
    said = str(caught.value)
    for part in (
        "word-s = 'fast'. A number from 0.01 to 10 is needed",
        "unknown key 'redy-s'",
        "[take] lacks ready-s",
        "fade = nan. A number from 0.01 to 0.99 is needed",
        "plan.toml, order:1:1: 'here'",
        "did you mean hear?",
    ):
        assert part in said


@pytest.mark.parametrize(
    "text", ["", "order = 3", "talk = 1", "[talk", "order = ''", "a = " + "[" * 5000]
)
def test_a_text_that_is_no_table_is_refused(text: str) -> None:
    with pytest.raises(SettingError):
        read_plan_table(text)
