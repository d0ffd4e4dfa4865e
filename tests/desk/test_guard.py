"""Who may ask: cookie, host, origin, size; and the policy on every answer."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.desk.served import BASE, DOOR, PORT, TUNE, inside

from starlette.testclient import TestClient  # isort: skip - after the skip of served

from reedwright.desk.guard import MAX_BODY, new_token


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    (tmp_path / "a.reed").write_text(TUNE, encoding="utf-8")
    with inside(tmp_path) as made:
        yield made


PATHS = ["/", "/tune/a", "/fit", "/web/tune.js", "/api/tunes", "/api/events", "/api/openapi.json",
         "/pack/a/sheet.pdf", "/api/nothing", "/favicon.ico"]  # fmt: skip


@pytest.mark.parametrize("path", PATHS)
def test_without_the_cookie_nothing_is_told(client: TestClient, path: str) -> None:
    client.cookies.clear()
    answer = client.get(path)
    assert answer.status_code == 403
    assert "does not know you" in answer.text
    client.cookies.set(DOOR.cookie, "wrong")
    assert client.get(path).status_code == 403


@pytest.mark.parametrize(
    "host",
    ["evil.example", f"evil.example:{PORT}", "127.0.0.1", "127.0.0.1:1", f"[::1]:{PORT}", ""],
)
def test_another_hosts_name_is_refused(client: TestClient, host: str) -> None:
    answer = client.get("/api/tunes", headers={"Host": host})
    assert (answer.status_code, "another host" in answer.text) == (403, True)


def test_the_machines_own_names_are_answered(client: TestClient) -> None:
    host = f"localhost:{PORT}"
    assert client.get("/api/tunes", headers={"Host": host}).status_code == 200
    body = {"text": TUNE}
    headers = {"Host": host, "Origin": f"http://{host}"}
    assert client.post("/api/tunes", json=body, headers=headers).status_code == 200


@pytest.mark.parametrize(
    "origin", ["http://evil.example", "null", "", f"https://127.0.0.1:{PORT}", "http://127.0.0.1:1"]
)
def test_a_page_from_elsewhere_changes_nothing(client: TestClient, origin: str) -> None:
    answer = client.post("/api/tunes", json={"text": TUNE}, headers={"Origin": origin})
    assert answer.status_code == 403
    assert len(client.get("/api/tunes").json()) == 1


def test_a_change_without_an_origin_is_refused(tmp_path: Path) -> None:
    with inside(tmp_path) as client:
        del client.headers["Origin"]
        assert client.post("/api/tunes", json={"text": TUNE}).status_code == 403


def test_the_token_gives_the_cookie_once_and_leaves_the_address(client: TestClient) -> None:
    client.cookies.clear()
    answer = client.get(f"/?token={DOOR.token}", follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, "/")
    cookie = answer.headers["set-cookie"]
    for word in (f"{DOOR.cookie}={DOOR.token}", "HttpOnly", "SameSite=strict", "Path=/"):
        assert word in cookie
    assert client.get("/").status_code == 200
    client.cookies.clear()
    assert client.get("/?token=wrong").status_code == 403


def test_the_way_in_leads_nowhere_else(client: TestClient) -> None:
    for path in ("//evil.example/", "/\\evil.example", "///evil.example"):
        answer = client.get(f"{BASE}{path}?token={DOOR.token}", follow_redirects=False)
        assert answer.headers.get("location", "/x")[:2] not in ("//", "/\\")


@pytest.mark.parametrize("path", PATHS)
def test_every_answer_carries_the_policy(client: TestClient, path: str) -> None:
    if path == "/api/events":
        path = "/api/events?last=x"
    answer = client.get(path)
    policy = answer.headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "frame-ancestors 'none'" in policy
    assert "unsafe" not in policy
    assert answer.headers["x-content-type-options"] == "nosniff"
    if not path.startswith("/web/"):
        assert answer.headers.get("cache-control", "no-store") == "no-store"


def test_pages_hold_no_script_or_style_of_their_own(client: TestClient) -> None:
    for path in ("/", "/tune/a", "/fit"):
        text = client.get(path).text
        assert "<style" not in text
        assert " style=" not in text
        assert text.count("<script") == text.count('<script type="module" src="/web/')


def test_too_much_is_refused_whatever_the_header_says(client: TestClient) -> None:
    headers = {"Content-Type": "application/json"}
    big = b"[" + b"1," * (MAX_BODY // 2) + b"1]"
    assert client.post("/api/tunes", content=big, headers=headers).status_code == 413

    def parts() -> Iterator[bytes]:
        for _ in range(MAX_BODY // 1_000_000 + 2):
            yield b"1" * 1_000_000

    answer = client.post("/api/tunes", content=parts(), headers=headers)
    assert (answer.status_code, "more than" in answer.text) == (413, True)


def test_tokens_differ() -> None:
    assert len({new_token() for _ in range(100)}) == 100
    assert min(len(new_token()) for _ in range(100)) >= 43
