"""The doors of the server as a table: what each takes and gives. Routes and their description
(`openapi`) are both made from it, so neither can say what the other does not.

Conventions: a `Door` answers one method on one path; types of values in queries and bodies are
written as JSON Schema (draft 2020-12), which OpenAPI 3.1 takes as it is.
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

Handler = Callable[[Request], Awaitable[Response]]
Schema = dict[str, Any]

TEXT: Schema = {"type": "string"}
VERSION: Schema = {"type": "integer", "minimum": 0, "maximum": 2**53 - 1}
JSON, FORM = "application/json", "multipart/form-data"


@dataclass(frozen=True, slots=True)
class Door:
    """One operation.

    Attributes:
        query: what may stand in the query, by name.
        body: the schema of a body, none where there is none; `kind` its media type.
        needed: names in the query that must be there.
        gives: the media type of the answer.
    """

    method: str
    path: str
    summary: str
    handler: Handler
    query: dict[str, Schema] = field(default_factory=dict)
    body: Schema | None = None
    kind: str = JSON
    needed: tuple[str, ...] = ()
    gives: str = JSON


def record(needed: tuple[str, ...] = (), **properties: Schema) -> Schema:
    """An object's schema."""
    return {"type": "object", "properties": properties, "required": list(needed)}


def number(low: int, high: int) -> Schema:
    """A whole number's schema."""
    return {"type": "integer", "minimum": low, "maximum": high}


def one_of(*words: str) -> Schema:
    """A word's schema."""
    return {"type": "string", "enum": list(words)}
