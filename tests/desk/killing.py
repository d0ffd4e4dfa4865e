"""A desk that is killed while somebody types, and what is found afterwards."""

from __future__ import annotations

import random
import threading
import time
from pathlib import Path
from typing import Any

import httpx2

from reedwright.desk.journal import Journal
from tests.desk.served import TUNE, Server, edit

LONGEST_S = 0.9
"""A kill comes within this time of the first key."""

PAUSES, PAUSE_S = 0.05, 0.35
"""How often the typist stops to think, and for how long: then the file is saved, so that kills come
before, during and after saves."""


class Typist:
    """Types one key after another, and knows what was acknowledged."""

    def __init__(self, server: Server, name: str, chance: random.Random) -> None:
        told = server.client.get(f"/api/tunes/{name}").json()
        self.server, self.name, self._chance = server, name, chance
        self.version, self.kept = int(told["version"]), str(told["text"])
        self.sent = self.kept
        self.keys = 0

    def type_until_the_end(self) -> None:
        """Until nobody answers any more."""
        try:
            while True:
                self.sent = self._next()
                answer = edit(self.server.client, self.name, self.version, self.sent)
                assert answer.status_code == 200, answer.text
                self.version, self.kept = answer.json()["version"], self.sent
                self.keys += 1
                if self._chance.random() < PAUSES:
                    time.sleep(PAUSE_S)
        except (httpx2.HTTPError, OSError, RuntimeError):
            return

    def _next(self) -> str:
        at = self._chance.randrange(len(self.kept) + 1)
        if self._chance.random() < 0.2:
            return self.kept[:at] + self.kept[at + 3 :]
        return self.kept[:at] + self._chance.choice("ab 4d\n'&=") + self.kept[at:]


def killed_once(server: Server, name: str, chance: random.Random) -> int:
    """Type, kill, begin again and look; the number of acknowledged keys. Raises if one is lost."""
    typist = Typist(server, name, chance)
    typing = threading.Thread(target=typist.type_until_the_end)
    typing.start()
    typing.join(chance.random() * LONGEST_S)
    server.kill()
    typing.join(30)
    on_disk = (server.folder / f"{name}.reed").read_text(encoding="utf-8")
    server.again()
    told = server.client.get(f"/api/tunes/{name}").json()
    # The last key sent may be on the disk though its answer never came.
    assert told["text"] in (typist.kept, typist.sent), _differ(typist, told)
    assert told["version"] >= typist.version
    assert on_disk in _all_texts(server.folder / ".reedwright" / f"{name}.journal"), (
        "a file that was never the tune"
    )
    assert (server.folder / f"{name}.reed").read_text(encoding="utf-8") == told["text"]
    return typist.keys


def _all_texts(journal: Path) -> set[str]:
    """Every version there was: a file on the disk is one of them, whole."""
    return {record.text for record in Journal(journal).records()}


def _differ(typist: Typist, told: dict[str, Any]) -> str:
    return f"acknowledged {typist.kept!r}, found {told['text']!r}"


def shelf_in(folder: Path) -> Path:
    """A folder with one tune."""
    folder.mkdir(exist_ok=True)
    (folder / "typed.reed").write_text(TUNE, encoding="utf-8")
    return folder
