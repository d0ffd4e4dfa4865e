"""Requests read, answers made: JSON in and out, with every fault a sentence.

Conventions: an error is `{error: {found, rule, mend, line?, column?}}`. Numbers in queries are
plain decimals. Data is never kept by a browser (no-store).
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from reedwright.desk.faults import BAD, KIND, WRONG, DeskError, problem_json, refused
from reedwright.harp.pitch import shown
from reedwright.tune.headervalues import parse_tempos

NO_STORE = {"Cache-Control": "no-store"}
MAX_WINDOW = 64


def told(value: Any, status: int = 200) -> Response:  # noqa: ANN401 - JSON
    """A value as the answer."""
    return JSONResponse(value, status, NO_STORE)


def told_bytes(data: bytes, kind: str, headers: Mapping[str, str] | None = None) -> Response:
    """Bytes as the answer."""
    return Response(data, 200, {**NO_STORE, **(headers or {})}, kind)


def told_error(error: DeskError) -> Response:
    """A refusal."""
    return told({**error.more, "error": problem_json(error.problem)}, error.status)


async def body_of(request: Request) -> dict[str, Any]:
    """The object a request holds. Errors: DeskError."""
    kind = request.headers.get("content-type", "").split(";")[0].strip().lower()
    if kind != "application/json":
        raise refused(KIND, f"a body of {shown(kind or 'no kind')}", "", "send application/json")
    try:
        body = json.loads(await request.body())
    except (ValueError, RecursionError):
        raise refused(BAD, "a body that is no JSON", "", "send one JSON object") from None
    if not isinstance(body, dict):
        raise refused(BAD, "a body that is no object", "", "send one JSON object")
    return body


class Fields:
    """The fields of an object, each looked at as it is taken. Errors: DeskError."""

    def __init__(self, body: Mapping[str, Any]) -> None:
        self._body = body

    def has(self, key: str) -> bool:
        return self._body.get(key) is not None

    def text(self, key: str, most: int, default: str | None = None) -> str:
        value = self._body.get(key)
        if value is None and default is not None:
            return default
        if not isinstance(value, str) or len(value) > most:
            raise _bad(key, f"a text of at most {most} characters")
        return value

    def number(self, key: str, low: int, high: int, default: int | None = None) -> int:
        value = self._body.get(key)
        if value is None and default is not None:
            return default
        if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
            raise _bad(key, f"a whole number from {low} to {high}")
        return value

    def rows(self, key: str, most: int) -> list[Mapping[str, Any]]:
        value = self._body.get(key)
        fine = isinstance(value, list) and len(value) <= most
        if not fine or not all(isinstance(row, dict) for row in value or ()):
            raise _bad(key, f"a list of at most {most} objects")
        return value or []


class Query:
    """The values of a query. Errors: DeskError."""

    def __init__(self, request: Request) -> None:
        self._values = request.query_params

    def text(self, key: str, default: str = "", most: int = 200) -> str:
        value = self._values.get(key, default)
        if len(value) > most:
            raise _bad(key, f"at most {most} characters")
        return value

    def number(self, key: str, low: int, high: int, default: int | None = None) -> int | None:
        value = self._values.get(key)
        if not value:
            return default
        digits = value.removeprefix("-")
        fine = digits.isascii() and digits.isdigit() and len(digits) < 17
        if not fine or not low <= int(value) <= high:
            raise _bad(key, f"a whole number from {low} to {high}")
        return int(value)

    def tempo(self, key: str = "tempo") -> Fraction | None:
        """Counted beats a minute; None where none are given. Errors: TuneError, DeskError."""
        value = self.text(key, most=20)
        tempos = parse_tempos(value) if value else ()
        if len(tempos) > 1:
            raise _bad(key, "one number")
        return tempos[0] if tempos else None


def _bad(key: str, rule: str) -> DeskError:
    return refused(WRONG, f"{shown(key)} is not as it should be", f"It is {rule}", "send it so")
