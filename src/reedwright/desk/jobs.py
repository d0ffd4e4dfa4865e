"""The workers' jobs by name, without what they load: the server itself never imports the engraver
or numpy. Each function runs in its worker and imports there."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from reedwright.desk.asked import Asked


def engraving_ready() -> None:
    from reedwright.desk.engraving import prepare

    prepare()


def sound_ready() -> None:
    from reedwright.desk.hearing import prepare

    prepare()


def thinking_ready() -> None:
    from reedwright.desk.thinking import prepare

    prepare()


def staff(folder: str, name: str, text: str, system: int | None) -> str:
    from reedwright.desk import engraving

    return engraving.staff(folder, name, text, system)


def sound(folder: str, name: str, text: str, asked: Asked) -> tuple[bytes, dict[str, Any]]:
    from reedwright.desk import hearing

    return hearing.sound(folder, name, text, asked)


def note(harp: str, tab: str) -> bytes:
    from reedwright.desk import hearing

    return hearing.note(harp, tab)


def proposals(folder: str, name: str, text: str, lick: str, count: int) -> list[dict[str, Any]]:
    from reedwright.desk import thinking

    return thinking.proposals(folder, name, text, lick, count)


def lesson(folder: str, name: str, text: str) -> bytes:
    from reedwright.desk import thinking

    return thinking.lesson(folder, name, text)


def sentence(folder: str, name: str, text: str, asked: tuple[str, int, str | None]) -> None:
    from reedwright.desk import thinking

    thinking.sentence(folder, name, text, asked)
