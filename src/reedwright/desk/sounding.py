"""The doors for hearing and seeing: the music engraved, bars and notes as sound, the harp's chart,
what may be completed."""

from __future__ import annotations

import json

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from reedwright.desk import jobs
from reedwright.desk.answers import Query, told, told_bytes
from reedwright.desk.asked import Asked
from reedwright.desk.book import MAX_VERSION
from reedwright.desk.desk import Desk
from reedwright.desk.faults import WRONG, refused
from reedwright.desk.operations import TEXT, VERSION, Door, number, one_of
from reedwright.harp.chart_svg import chart_svg
from reedwright.harp.harp import harp_named
from reedwright.harp.pitch import KEYS
from reedwright.harp.tuning import tuning_names
from reedwright.tune.form import form_names
from reedwright.tune.header import MAX_VALUE

MOST_BARS = 100_000
PARTS = ("harp", "band", "click")
KINDS = ("form", "harp", "tuning", "lick")
_WAV, _SVG = "audio/wav", "image/svg+xml"


class Sounding:
    """Answers of these doors over one desk."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk

    def doors(self) -> list[Door]:
        one = "/api/tunes/{name}"
        version = {"version": VERSION}
        heard = {
            **version,
            "from_bar": number(-1, MOST_BARS),
            "bars": number(1, MOST_BARS),
            "tempo": TEXT,
            "parts": TEXT,
            "voice": one_of("acoustic", "amplified"),
        }
        staff = {**version, "system": number(0, MOST_BARS)}
        harp, note = {"harp": TEXT, "position": number(1, 12)}, {"harp": TEXT, "tab": TEXT}
        complete = {"kind": one_of(*KINDS), "prefix": TEXT, "tune": TEXT}
        return [
            Door("GET", f"{one}/staff", "the music, engraved", self.staff, staff, gives=_SVG),
            Door("GET", f"{one}/sound", "bars as sound", self.sound, heard, gives=_WAV),
            Door(
                *("GET", "/api/note", "a note of a harp as sound", self.note, note),
                needed=("harp", "tab"),
                gives=_WAV,
            ),
            Door(
                *("GET", "/api/harp", "the chart of a harp", self.harp, harp),
                needed=("harp",),
                gives=_SVG,
            ),
            Door(
                *("GET", "/api/complete", "what can stand here", self.complete, complete),
                needed=("kind",),
            ),
        ]

    async def staff(self, request: Request) -> Response:
        name = request.path_params["name"]
        query = Query(request)
        system = query.number("system", 0, MOST_BARS)
        looked = await self._desk.playable(name, query.number("version", 0, MAX_VERSION - 1))
        if system is None:
            svg = await self._desk.staff(name, looked)
        else:
            args = (str(self._desk.shelf.folder), name, looked.text, system)
            svg = await self._desk.engraver.do(jobs.staff, *args)
        return told_bytes(svg.encode("utf-8"), _SVG)

    async def sound(self, request: Request) -> Response:
        name = request.path_params["name"]
        query = Query(request)
        asked = _asked(query)
        looked = await self._desk.playable(name, query.number("version", 0, MAX_VERSION - 1))
        args = (str(self._desk.shelf.folder), name, looked.text, asked)
        wav, times = await self._desk.player.do(jobs.sound, *args)
        header = json.dumps(times, ensure_ascii=True, separators=(",", ":"))
        return told_bytes(wav, _WAV, {"X-Times": header})

    async def note(self, request: Request) -> Response:
        query = Query(request)
        wav = await self._desk.player.do(jobs.note, query.text("harp"), query.text("tab", most=80))
        return told_bytes(wav, _WAV)

    async def harp(self, request: Request) -> Response:
        query = Query(request)
        harp = harp_named(query.text("harp"))
        position = query.number("position", 1, 12)
        svg = await run_in_threadpool(chart_svg, harp, position)
        return told_bytes(svg.encode("utf-8"), _SVG)

    async def complete(self, request: Request) -> Response:
        """Names that begin as the prefix does, whatever its case, then those that hold it."""
        query = Query(request)
        kind, prefix = query.text("kind"), query.text("prefix", most=MAX_VALUE).lower()
        names = await self._names(kind, query.text("tune") or query.text("name"))
        begin = [name for name in names if name.lower().startswith(prefix)]
        hold = [name for name in names if prefix in name.lower() and name not in begin]
        return told([*begin, *hold])

    async def _names(self, kind: str, tune: str) -> list[str]:
        if kind == "form":
            return list(form_names())
        if kind == "tuning":
            return list(tuning_names())
        if kind == "harp":
            return [*KEYS, *(f"{register} {key}" for register in ("low", "high") for key in KEYS)]
        if kind == "lick" and tune:
            looked, _ = await self._desk.look(tune)
            if looked.report is None:
                return []
            return [full.lick.name for full in looked.report.score.tune.licks.values()]
        rule = f"It is one of {', '.join(KINDS)}; a lick is of a tune"
        raise refused(WRONG, "a kind nobody knows", rule, "name another")


def _asked(query: Query) -> Asked:
    parts = {word.strip() for word in query.text("parts", "harp,band").split(",")} - {""}
    if not parts or not parts <= set(PARTS):
        raise refused(WRONG, "parts nobody plays", f"Parts are {', '.join(PARTS)}", "name some")
    voice = query.text("voice", "acoustic") or "acoustic"
    if voice not in ("acoustic", "amplified"):
        raise refused(WRONG, "a voice nobody has", "It is acoustic or amplified", "name one")
    return Asked(
        first_bar=query.number("from_bar", -1, MOST_BARS, 0) or 0,
        bars=query.number("bars", 1, MOST_BARS),
        tempo_bpm=query.tempo(),
        harp="harp" in parts,
        band="band" in parts,
        click="click" in parts,
        amplified=voice == "amplified",
    )
