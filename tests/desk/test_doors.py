"""The doors of the server: what each gives, and a clear refusal for everything else."""

from __future__ import annotations

import io
import json
import os
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from reedwright.desk.faults import DiskError
from reedwright.desk.shelf import Shelf
from tests.desk.served import TUNE, edit, inside, waited

from starlette.testclient import TestClient  # isort: skip - after the skip of served

DEMO = Path(__file__).parents[2] / "demo"
ABC = b"X:1\nT:Warm\nM:4/4\nL:1/4\nK:G\nGABG|GABG|\n"


@pytest.fixture
def client(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[TestClient]:
    monkeypatch.setenv("REEDWRIGHT_CACHE", str(tmp_path / "shelf" / ".cache"))
    folder = tmp_path / "shelf"
    folder.mkdir()
    (folder / "a.reed").write_text(TUNE, encoding="utf-8")
    with inside(folder) as made:
        yield made


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "shelf"


def found(answer: object) -> str:
    return str(answer.json()["error"]["found"])  # type: ignore[attr-defined]


def test_the_shelf_tells_every_tune(client: TestClient, folder: Path) -> None:
    (folder / "bad.reed").write_text("Title: Bad\nHarp: Q\n", encoding="utf-8")
    (folder / "worse.reed").write_bytes(b"\xff\xfe\x00")
    rows = {row["name"]: row for row in client.get("/api/tunes").json()}
    assert set(rows) == {"a", "bad", "worse"}
    a = rows["a"]
    assert (a["title"], a["harp"], a["key"], a["level"]) == ("A Tune", "C", "G", "")
    assert 0 < a["difficulty"] <= 100
    assert a["changed_at"] == pytest.approx((folder / "a.reed").stat().st_mtime)
    assert rows["bad"]["difficulty"] is None
    assert "Position" in rows["bad"]["trouble"]
    assert "not UTF-8" in rows["worse"]["trouble"]


def test_a_new_tune_is_a_plain_file(client: TestClient, folder: Path) -> None:
    assert client.post("/api/tunes", json={"text": TUNE}).json() == {"name": "a-tune"}
    assert (folder / "a-tune.reed").read_text(encoding="utf-8") == TUNE
    assert client.post("/api/tunes", json={"text": TUNE}).json() == {"name": "a-tune-2"}
    assert client.post("/api/tunes", json={"title": "New\nOne"}).json() == {"name": "new-one"}
    assert client.get("/api/tunes/new-one/look").json()["title"] == "New One"
    assert client.post("/api/tunes", json={"name": "été x"}).json() == {"name": "été x"}
    again = client.post("/api/tunes", json={"name": "a", "text": "other"})
    assert (again.status_code, found(again)) == (409, "there is a tune 'a'")
    assert (folder / "a.reed").read_text(encoding="utf-8") == TUNE


def test_a_look_says_all_that_is_drawn(client: TestClient) -> None:
    look = client.get("/api/tunes/a/look").json()
    assert (look["ok"], look["title"], look["harp"], look["position"]) == (True, "A Tune", "C", 2)
    assert [row["tab"] for row in look["events"]][:2] == [["2d"], ["3d'"]]
    assert (look["events"][0]["line"], look["events"][0]["column"]) == (6, 4)
    assert look["map"]["licks"] == [{"name": "One", "slug": "one"}]
    assert [bar["index"] for bar in look["map"]["choruses"][0]["bars"]] == [0, 1]
    assert len(look["breath"]["events"]) == len(look["events"])
    kinds = {token["kind"] for token in look["tokens"]}
    assert kinds == {"key", "value", "lick", "name", "number", "note", "hold", "rest"}


def test_every_fault_of_a_text_stands_under_its_token(client: TestClient) -> None:
    text = TUNE.replace("3d'", "3z").replace("4b&3d", "4b&99d")
    version = edit(client, "a", 1, text).json()["version"]
    look = client.get("/api/tunes/a/look", params={"version": version}).json()
    assert not look["ok"]
    lines = text.split("\n")
    marked = [
        lines[one["line"] - 1][one["column"] - 1 : one["end_column"] - 1]
        for one in look["findings"]
    ]
    assert marked == ["3z", "99d"]
    assert all(one["message"] and one["mend"] for one in look["findings"])
    refused = client.get("/api/tunes/a/staff")
    assert refused.status_code == 422
    assert refused.json()["error"]["line"] == 6 if "line" in refused.json()["error"] else True
    assert len(refused.json()["problems"]) == 2


def test_a_version_that_has_passed_is_gone_for_views_and_kept_for_history(
    client: TestClient,
) -> None:
    edit(client, "a", 1, TUNE + "# two\n")
    for what in ("look", "staff", "sound", "lesson"):
        assert client.get(f"/api/tunes/a/{what}", params={"version": 1}).status_code == 410
    assert client.get("/api/tunes/a", params={"version": 1}).json()["text"] == TUNE
    assert client.get("/api/tunes/a", params={"version": 9}).status_code == 410
    rows = client.get("/api/tunes/a/history").json()
    assert [row["version"] for row in rows] == [2, 1]
    back = client.post("/api/tunes/a/restore", json={"version": 1}).json()
    assert back == {"version": 3, "text": TUNE}


def test_an_edit_by_changes_in_two_windows(client: TestClient) -> None:
    body = {"version": 1, "changes": [{"from": 7, "to": 8, "insert": "The"}], "window": "a"}
    assert client.post("/api/tunes/a/edit", json=body).json() == {"version": 2, "kept": True}
    end = len(TUNE)
    other = {"version": 1, "changes": [{"from": end, "to": end, "insert": "# b\n"}], "window": "b"}
    met = client.post("/api/tunes/a/edit", json=other)
    assert met.status_code == 409
    assert met.json()["merged"] == TUNE.replace("A Tune", "The Tune") + "# b\n"
    assert met.json()["version"] == 2


def test_a_file_changed_beside_it_is_noticed(client: TestClient, folder: Path) -> None:
    assert client.get("/api/tunes/a").json()["version"] == 1
    (folder / "a.reed").write_text(TUNE + "# by hand\n", encoding="utf-8")
    assert client.get("/api/tunes/a").json()["text"] == TUNE + "# by hand\n"


def test_a_file_deleted_under_the_editor(client: TestClient, folder: Path) -> None:
    client.get("/api/tunes/a")
    (folder / "a.reed").unlink()
    told = client.get("/api/tunes/a").json()
    assert (told["gone"], told["text"]) == (True, TUNE)
    assert client.get("/api/tunes").json() == []
    assert edit(client, "a", told["version"], TUNE + "#\n").status_code == 200
    assert waited(lambda: (folder / "a.reed").read_text(encoding="utf-8") == TUNE + "#\n")


def test_closing_saves_what_was_typed_last(tmp_path: Path) -> None:
    (tmp_path / "a.reed").write_text(TUNE, encoding="utf-8")
    with inside(tmp_path) as client:
        assert edit(client, "a", 1, "last words\n").status_code == 200
    assert (tmp_path / "a.reed").read_text(encoding="utf-8") == "last words\n"


def test_a_save_the_disk_refuses_is_made_good_later(
    client: TestClient, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    tries: list[str] = []

    def full(_: Shelf, name: str, __: bytes) -> None:
        tries.append(name)
        raise DiskError(OSError(28, "No space left on device"))

    with monkeypatch.context() as patch:
        patch.setattr(Shelf, "write", full)
        assert edit(client, "a", 1, TUNE + "# two\n").status_code == 200
        assert waited(lambda: tries)
    assert (folder / "a.reed").read_text(encoding="utf-8") == TUNE
    assert waited(lambda: (folder / "a.reed").read_text(encoding="utf-8") == TUNE + "# two\n")


BAD_NAMES = ["...", ".hidden", "%2e%2e%2fx", "..%2f..%2fetc%2fpasswd", "a%00", "a%0a", "x" * 300]


@pytest.mark.parametrize("name", BAD_NAMES)
@pytest.mark.parametrize("what", ["", "/look", "/history", "/staff", "/sound", "/pack.zip"])
def test_no_path_leaves_the_shelf(client: TestClient, name: str, what: str, folder: Path) -> None:
    answer = client.get(f"/api/tunes/{name}{what}")
    assert answer.status_code in (404, 422)
    assert "error" in answer.json()
    assert {path.name for path in folder.parent.iterdir()} == {"shelf"}


@pytest.mark.parametrize(
    "path", ["sheet.pdf", "../a.reed", "..%2fa.reed", "/etc/passwd", "%2fetc%2fpasswd", "pack.json"]
)
def test_no_file_but_a_packs_own_is_given(client: TestClient, path: str, folder: Path) -> None:
    (folder / "a-pack").mkdir()
    assert client.get(f"/pack/a/{path}").status_code in (404, 422)


def test_links_are_refused_everywhere(client: TestClient, folder: Path) -> None:
    secret = folder.parent / "secret"
    secret.write_text(TUNE, encoding="utf-8")
    (folder / "l.reed").symlink_to(secret)
    (folder / "own.toml").symlink_to(secret)
    (folder / "l-pack").symlink_to(folder.parent)
    for path in ("/api/tunes/l", "/api/tunes/l/look", "/api/tunes/l/history", "/pack/l/secret"):
        assert client.get(path).status_code in (404, 422), path
    assert edit(client, "l", 1, "x").status_code == 422
    text = TUNE.replace("Position", "Tuning: own.toml\nPosition")
    version = edit(client, "a", 1, text).json()["version"]
    look = client.get("/api/tunes/a/look", params={"version": version}).json()
    assert "is a link" in look["findings"][0]["message"]
    assert secret.read_text(encoding="utf-8") == TUNE


BODIES = [b"", b"{", b"[]", b"1", b'"x"', b"\xff", b"{}" * 2, b"[" * 100_000, b'{"version": 1e999}',
          b'{"version": "1"}', b'{"version": true, "text": ""}', b'{"version": -1, "text": ""}',
          b'{"version": 1, "text": 5}', b'{"version": 1, "changes": [5]}',
          b'{"version": 1, "changes": [{"from": -1, "to": 0, "insert": ""}]}',
          b'{"version": 1, "changes": [{"from": 9000, "to": 9001, "insert": ""}]}',
          b'{"version": 1, "text": "\\ud800"}', b'{"version": 1, "window": "%s"}' % (b"x" * 99),
          b'{"version": ' + b"9" * 400 + b', "text": ""}']  # fmt: skip


@pytest.mark.parametrize("body", BODIES)
@pytest.mark.parametrize("path", ["a/edit", "a/restore", "a/vary", "nothing/edit"])
def test_bad_bodies_are_told_what_is_wrong(client: TestClient, path: str, body: bytes) -> None:
    headers = {"Content-Type": "application/json"}
    answer = client.post(f"/api/tunes/{path}", content=body, headers=headers)
    if path == "a/restore" and body.startswith(b'{"version": 1, "'):
        return  # a body it may well take
    assert 400 <= answer.status_code < 500 or answer.json()["version"] == 1
    assert client.get("/api/tunes/a").json()["text"] == TUNE


def test_a_body_of_another_kind_is_refused(client: TestClient) -> None:
    plain = client.post("/api/tunes", content=b"{}", headers={"Content-Type": "text/plain"})
    assert (plain.status_code, found(plain)) == (415, "a body of 'text/plain'")


@pytest.mark.parametrize(
    ("path", "words"),
    [
        ("/api/tunes/a/look?version=x", "'version' is not as it should be"),
        ("/api/tunes/a/sound?from_bar=99", "no bar 99 to hear"),
        ("/api/tunes/a/sound?parts=kazoo", "parts nobody plays"),
        ("/api/tunes/a/sound?voice=loud", "a voice nobody has"),
        ("/api/tunes/a/sound?tempo=fast", "tempo 'fast'"),
        ("/api/tunes/a/staff?system=99", "no line 99"),
        ("/api/note?harp=C&tab=4b''", "no 4b'' on the C harp"),
        ("/api/note?harp=H&tab=4b", "'H' is not a harp"),
        ("/api/harp?harp=C&position=13", "'position' is not as it should be"),
        ("/api/complete?kind=x", "a kind nobody knows"),
        ("/api/jobs/77/events", "there is no such job"),
        ("/api/nothing", "there is no such door"),
        ("/api/tunes/b", "there is no tune 'b'"),
    ],
)
def test_wrong_wishes_are_told(client: TestClient, path: str, words: str) -> None:
    answer = client.get(path)
    assert 400 <= answer.status_code < 500
    assert found(answer).startswith(words)


def test_music_and_sound_carry_the_events_ids(client: TestClient) -> None:
    ids = [row["id"] for row in client.get("/api/tunes/a/look").json()["events"]]
    svg = client.get("/api/tunes/a/staff")
    assert svg.headers["content-type"] == "image/svg+xml"
    assert all(f'data-event="{each}"' in svg.text for each in ids)
    heard = client.get("/api/tunes/a/sound", params={"from_bar": 1, "bars": 1, "parts": "harp"})
    times = json.loads(heard.headers["x-times"])
    assert heard.content[:4] == b"RIFF"
    assert [bar["index"] for bar in times["bars"]] == [1]
    assert {each[0] for each in times["events"]} <= set(ids)
    silent = client.get("/api/tunes/a/sound", params={"bars": 1, "parts": "click"})
    assert silent.content[:4] == b"RIFF"
    assert silent.content != heard.content


def test_variations_come_as_bars_to_write(client: TestClient, folder: Path) -> None:
    (folder / "b.reed").write_bytes((DEMO / "the-ferry-was-late.reed").read_bytes())
    look = client.get("/api/tunes/b/look").json()
    lick = look["map"]["licks"][0]["name"]
    found_ = client.post("/api/tunes/b/vary", json={"lick": lick}).json()["proposals"]
    assert found_
    assert all(bar[0].isdigit() for each in found_ for bar in each["bars"])
    none = client.post("/api/tunes/b/vary", json={"lick": "Nobody"})
    assert (none.status_code, "no lick 'Nobody'" in found(none)) == (422, True)


def test_a_lesson_is_that_of_the_command(client: TestClient) -> None:
    told = client.get("/api/tunes/a/lesson").json()
    assert told["schema"] == "reedwright.lesson/1"
    assert told["licks"][0]["pieces"]


def test_a_sentence_of_ones_own_is_kept_beside_the_tune(client: TestClient, folder: Path) -> None:
    def words() -> list[dict[str, object]]:
        piece = client.get("/api/tunes/a/lesson").json()["licks"][0]["pieces"][0]
        return list(piece["words"])

    at, first = next(
        (number, row) for number, row in enumerate(words()) if "2 draw" in str(row["text"])
    )
    assert not first["edited"]
    piece = client.get("/api/tunes/a/lesson").json()["licks"][0]["pieces"][0]["id"]
    body = {"piece": piece, "index": at, "text": "Mine."}
    assert client.post("/api/tunes/a/sentences", json=body).json() == {"kept": True}
    assert words()[at] == {"text": "Mine.", "own": first["own"], "edited": True, "stale": False}
    assert "Mine." in (folder / "a.words").read_text(encoding="utf-8")
    edit(client, "a", 1, TUNE.replace("1: 2d", "1: 1d"))
    assert [row["stale"] for row in words() if row["edited"]] == [True]
    at = next(number for number, row in enumerate(words()) if row["edited"])
    back = {"piece": piece, "index": at, "text": None}
    assert client.post("/api/tunes/a/sentences", json=back).json() == {"kept": True}
    assert not (folder / "a.words").exists()
    wrong = client.post("/api/tunes/a/sentences", json={"piece": "x", "index": 0, "text": "y"})
    assert (wrong.status_code, found(wrong)) == (422, "no such sentence")


def test_completion_begins_as_the_prefix_does(client: TestClient) -> None:
    forms = client.get("/api/complete", params={"kind": "form", "prefix": "12"}).json()
    assert forms
    assert forms[0].startswith("12")
    licks = client.get("/api/complete", params={"kind": "lick", "tune": "a"}).json()
    assert licks == ["One"]
    assert "low D" in client.get("/api/complete", params={"kind": "harp", "prefix": "d"}).json()


def test_a_pack_is_made_told_and_given(client: TestClient, folder: Path) -> None:
    assert client.get("/api/tunes/a/pack.zip").status_code == 404
    edit(client, "a", 1, TUNE.replace("A Tune", "Packed"))
    job = client.post("/api/tunes/a/pack", json={"audio": "none"}).json()["job"]
    text = client.get(f"/api/jobs/{job}/events").text
    told = [json.loads(line[6:]) for line in text.splitlines() if line.startswith("data: ")]
    assert told[-1]["finished"]
    assert "sheet.pdf" in told[-1]["files"]
    data = client.get("/api/tunes/a/pack.zip").content
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        assert packed.testzip() is None
        assert b"Title: Packed" in packed.read("a/tune.reed")
    assert client.get("/api/tunes/a/pack.zip").content == data
    sheet = client.get("/pack/a/sheet.pdf")
    assert (sheet.headers["content-type"], sheet.content[:4]) == ("application/pdf", b"%PDF")
    assert (folder / ".reedwright" / "a.sealed").exists()
    (folder / "a-pack" / "sheet.pdf").write_bytes(b"<script>")
    assert client.get("/pack/a/sheet.pdf").status_code == 404


def test_a_melody_is_fitted_and_taken(client: TestClient, folder: Path) -> None:
    files = {"melody": ("warm.abc", ABC)}
    told = client.post("/api/fit", files=files, data={"harps": "C, G"}).json()
    assert told["choices"][0]["harp"]["key"] in ("C", "G")
    assert told["melody"]["notes"] == 8
    name = client.post("/api/fit/take", files=files, data={"choice": "1"}).json()["name"]
    assert name == "warm"
    assert client.get("/api/tunes/warm/look").json()["ok"]
    for data in ({"choice": "99"}, {"choice": "x"}, {}):
        assert client.post("/api/fit/take", files=files, data=data).status_code == 422
    assert len(list(folder.glob("*.reed"))) == 2


@pytest.mark.parametrize(
    "data",
    [b"", b"\x00" * 99, b"<a>" * 50_000, b"PK\x03\x04", b"MThd" + b"\xff" * 99, os.urandom(999)],
)
def test_what_is_no_melody_is_told_so(client: TestClient, data: bytes) -> None:
    answer = client.post("/api/fit", files={"melody": ("x.mid", data)})
    assert answer.status_code == 422
    assert found(answer)


def test_the_description_names_every_door(client: TestClient) -> None:
    told = client.get("/api/openapi.json").json()
    assert told["openapi"].startswith("3.1")
    paths = set(told["paths"])
    assert {"/api/tunes", "/api/tunes/{name}/edit", "/api/fit", "/api/events"} <= paths
    for path, methods in told["paths"].items():
        for method in methods:
            plain = path.replace("{name}", "a").replace("{job}", "x")
            wrong = "GET" if method == "post" and "get" not in methods else "DELETE"
            assert client.request(wrong, plain).status_code == 405, (path, method)
