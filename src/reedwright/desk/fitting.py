"""The doors for fitting: a melody is sent, choices come back, one is taken as a new tune."""

from __future__ import annotations

import asyncio
import json
import subprocess
import sys
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, UploadFile
from starlette.formparsers import MultiPartException
from starlette.requests import Request
from starlette.responses import Response

from reedwright.desk.answers import told
from reedwright.desk.desk import Desk
from reedwright.desk.faults import BAD, BIG, KIND, WRONG, DeskError, refused
from reedwright.desk.limited import SECONDS, Wanted
from reedwright.desk.operations import FORM, TEXT, Door, Schema, number, one_of, record
from reedwright.desk.shelf import bytes_of
from reedwright.errors import Problem, one_line
from reedwright.fit.sources import MAX_BYTES, SUFFIXES

_TICK: Schema = one_of("true", "false")
_MOST_WORDS = 400
_FIELDS: dict[str, Schema] = {
    "melody": {"type": "string", "format": "binary"},
    **dict.fromkeys(("harps", "position", "student", "part", "tempo"), TEXT),
    **dict.fromkeys(("transpose", "fold", "drop"), _TICK),
}


class Fitting:
    """Answers of these doors over one desk."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._turn = asyncio.Semaphore(2)

    def doors(self) -> list[Door]:
        taken = record(("melody", "choice"), **_FIELDS, choice=number(1, 50))
        return [
            Door(
                *("POST", "/api/fit", "harps, positions and tab for a melody", self.fit),
                body=record(("melody",), **_FIELDS),
                kind=FORM,
            ),
            Door(
                *("POST", "/api/fit/take", "a choice as a new tune", self.take),
                body=taken,
                kind=FORM,
            ),
        ]

    async def fit(self, request: Request) -> Response:
        wanted, data = await _form(request)
        return told((await self._asked(wanted, data))["fit"])

    async def take(self, request: Request) -> Response:
        wanted, data = await _form(request, taking=True)
        answer = await self._asked(wanted, data)
        name = await run_in_threadpool(self._made, answer["title"], answer["text"])
        state = (await self._desk.books.book(name)).state()
        self._desk.hub.changed(name, state.version)
        return told({"name": name})

    def _made(self, title: str, text: str) -> str:
        name = self._desk.shelf.free_name(title or "melody")
        self._desk.shelf.write(name, bytes_of(text))
        return name

    async def _asked(self, wanted: Wanted, data: bytes) -> dict[str, Any]:
        async with self._turn:
            answer = await run_in_threadpool(limited, wanted, data)
        if "error" in answer:
            words = answer["error"]
            problem = Problem(words["found"], words["rule"], words["mend"])
            raise DeskError(int(answer["status"]), problem)
        return answer


def limited(wanted: Wanted, data: bytes) -> dict[str, Any]:
    """The child's answer. Errors: DeskError for a file that takes too much, or ends the child."""
    command = [sys.executable, "-m", "reedwright.desk.limited"]
    try:
        done = subprocess.run(  # noqa: S603 - our own interpreter and module
            command,
            input=wanted.encoded() + data,
            capture_output=True,
            timeout=SECONDS + 30,
            check=False,
        )
        answer: dict[str, Any] = json.loads(done.stdout)
    except (subprocess.TimeoutExpired, ValueError):
        rule = f"A melody is read in {SECONDS} seconds and two gigabytes"
        raise refused(
            WRONG, "a file that cannot be read within limits", rule, "take a shorter one"
        ) from None
    return answer


async def _form(request: Request, *, taking: bool = False) -> tuple[Wanted, bytes]:
    """What a form asks, and its file. Errors: DeskError."""
    if not request.headers.get("content-type", "").lower().startswith(FORM):
        raise refused(KIND, "a body that is no form", "", f"send {FORM}")
    try:
        form = await request.form(max_files=1, max_fields=20, max_part_size=10_000)
    except (MultiPartException, ValueError, KeyError):
        raise refused(BAD, "a form that cannot be read", "", "send the file again") from None
    except DeskError:
        raise
    except Exception as error:
        status = getattr(error, "status_code", None)
        if status is None:
            raise
        raise refused(BAD, "a form that cannot be read", "", "send the file again") from None
    async with _closing(form):
        return await _read(form, taking=taking)


class _closing:  # noqa: N801 - reads as a verb where it is used
    """Closes a form's files."""

    def __init__(self, form: FormData) -> None:
        self._form = form

    async def __aenter__(self) -> None:
        return None

    async def __aexit__(self, *_: object) -> None:
        await self._form.close()


async def _read(form: FormData, *, taking: bool) -> tuple[Wanted, bytes]:
    file = form.get("melody")
    if not isinstance(file, UploadFile):
        kinds = ", ".join(SUFFIXES)
        raise refused(WRONG, "no melody", f"A melody is one of {kinds} or .reed", "choose a file")
    data = await file.read(MAX_BYTES + 1)
    if len(data) > MAX_BYTES:
        raise refused(BIG, f"more than {MAX_BYTES:,} bytes", "", "take a shorter melody")
    words = {key: _word(form, key) for key in ("harps", "position", "student", "part", "tempo")}
    ticks = {key: _word(form, key) == "true" for key in ("transpose", "fold", "drop")}
    name = one_line((file.filename or "melody").rpartition("/")[2])[:200]
    return Wanted(name, **words, **ticks, choice=_choice(form) if taking else 0), data  # type: ignore[arg-type]


def _word(form: FormData, key: str) -> str:
    value = form.get(key, "")
    if not isinstance(value, str) or len(value) > _MOST_WORDS:
        raise refused(WRONG, f"{key} is no short text", "", "write a few words")
    return value


def _choice(form: FormData) -> int:
    word = _word(form, "choice")
    if not (word.isascii() and word.isdigit() and len(word) < 4 and int(word)):
        raise refused(WRONG, "no choice", "A choice is a number from 1", "take one of the choices")
    return int(word)
