"""The desk's server against schemathesis (MIT), which reads its own description (OpenAPI 3.1) and
asks whatever that allows, and much that it does not: nothing may be answered as a fault of ours."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("schemathesis", reason="schemathesis is not installed")
pytest.importorskip("starlette", reason="the desk's server needs starlette")

import requests
import schemathesis
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.errors import Unsatisfiable
from schemathesis.generation import GenerationMode

from tests.desk.served import TUNE, server

pytestmark = [pytest.mark.slow, pytest.mark.filterwarnings("ignore")]

EXAMPLES = 20
"""For each operation and mode."""

ENDLESS = ("/api/events", "/api/jobs/{job}/events")
"""Streams: tests/desk/test_hub.py asks them."""


@pytest.mark.parametrize("mode", [GenerationMode.POSITIVE, GenerationMode.NEGATIVE])
def test_no_request_finds_a_fault_of_ours(tmp_path: Path, mode: GenerationMode) -> None:
    (tmp_path / "a.reed").write_text(TUNE, encoding="utf-8")
    asked: dict[str, int] = {}
    with server(tmp_path) as desk, requests.Session() as session:
        session.headers["Origin"] = desk.base

        def call(case: Any) -> Any:  # noqa: ANN401 - schemathesis's case, requests' response
            return case.call(base_url=desk.base, session=session, timeout=60)

        session.cookies.update(dict(desk.client.cookies))
        schema = schemathesis.openapi.from_dict(desk.client.get("/api/openapi.json").json())
        for found in schema.get_all_operations():
            operation = found.ok()  # type: ignore[union-attr]
            if operation.path not in ENDLESS:
                with suppress(Unsatisfiable):  # a door that takes nothing cannot be given wrong
                    _ask(operation, mode, call, asked)
        assert desk.client.get("/api/tunes/a").status_code == 200
        assert desk.process.poll() is None
    assert len(asked) >= 15
    assert sum(asked.values()) > 15 * EXAMPLES / 2


def _ask(operation: Any, mode: GenerationMode, call: Any, asked: dict[str, int]) -> None:  # noqa: ANN401
    @settings(
        max_examples=EXAMPLES,
        deadline=None,
        database=None,
        derandomize=True,
        suppress_health_check=list(HealthCheck),
    )
    @given(case=operation.as_strategy(generation_mode=mode), own=st.booleans())
    def ask(case: Any, own: bool) -> None:  # noqa: ANN401
        if own and "name" in case.path_parameters:
            case.path_parameters["name"] = "a"
        answer = call(case)
        asked[operation.label] = asked.get(operation.label, 0) + 1
        assert answer.status_code < 500, (case.as_curl_command(), answer.text)
        if answer.status_code >= 400:
            assert answer.json()["error"]["found"]

    ask()
