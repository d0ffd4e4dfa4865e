"""The server's own description, OpenAPI 3.1, made from its doors. Source: OpenAPI Specification
3.1 (OpenAPI Initiative)."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from reedwright import __version__
from reedwright.desk.operations import Door

_ERROR = {
    "type": "object",
    "required": ["error"],
    "properties": {
        "error": {
            "type": "object",
            "required": ["found", "rule", "mend"],
            "properties": {
                "found": {"type": "string"},
                "rule": {"type": "string"},
                "mend": {"type": "string"},
                "line": {"type": "integer"},
                "column": {"type": "integer"},
            },
        }
    },
}
_BINARY = ("audio/", "application/zip", "application/pdf")


def description(doors: Sequence[Door]) -> dict[str, Any]:
    """The whole document."""
    paths: dict[str, dict[str, Any]] = {}
    for door in doors:
        path = re.sub(r"{(\w+):\w+}", r"{\1}", door.path)
        paths.setdefault(path, {})[door.method.lower()] = _operation(door)
    return {
        "openapi": "3.1.0",
        "info": {"title": "The desk of reedwright", "version": __version__},
        "paths": paths,
        "components": {"schemas": {"Error": _ERROR}},
    }


def _operation(door: Door) -> dict[str, Any]:
    found: dict[str, Any] = {
        "summary": door.summary,
        "parameters": _parameters(door),
        "responses": {
            "200": {"description": "what was asked for", "content": _answer(door.gives)},
            "4XX": {
                "description": "what was found, the rule and the mend",
                "content": {"application/json": {"schema": {"$ref": "#/components/schemas/Error"}}},
            },
        },
    }
    if door.body is not None:
        found["requestBody"] = {"required": True, "content": {door.kind: {"schema": door.body}}}
    return found


def _answer(kind: str) -> dict[str, Any]:
    if kind.startswith(_BINARY):
        return {kind: {}}
    return {kind: {"schema": {} if kind == "application/json" else {"type": "string"}}}


def _parameters(door: Door) -> list[dict[str, Any]]:
    names = re.findall(r"{(\w+)(?::\w+)?}", door.path)
    inside = [
        {"name": name, "in": "path", "required": True, "schema": {"type": "string", "minLength": 1}}
        for name in names
    ]
    asked = [
        {"name": name, "in": "query", "required": name in door.needed, "schema": schema}
        for name, schema in door.query.items()
    ]
    return inside + asked
