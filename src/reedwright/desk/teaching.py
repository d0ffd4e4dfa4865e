"""The doors for teaching and handing out: variations, the lesson, the pack and what is in it."""

from __future__ import annotations

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import FileResponse, Response, StreamingResponse

from reedwright.desk import jobs
from reedwright.desk.answers import NO_STORE, Fields, Query, body_of, told, told_bytes
from reedwright.desk.book import MAX_VERSION
from reedwright.desk.desk import Desk
from reedwright.desk.faults import ABSENT, DiskError, refused
from reedwright.desk.operations import JSON, TEXT, VERSION, Door, number, one_of, record
from reedwright.desk.packed import chunks, entry_of, headers_of, kind_of, zipped
from reedwright.desk.packing import stream
from reedwright.desk.shelf import checked_name
from reedwright.lesson.ownwords import MAX_TEXT
from reedwright.pack.choices import Audio, Choices
from reedwright.sheet.options import TabStyle
from reedwright.tune.techniques import ladder
from reedwright.vary.proposals import MAX_WANTED

_USUAL = 5
_PAPERS, _TABS, _AUDIO = ("a4", "letter"), tuple(TabStyle), ("mp3", "ogg", "flac", "wav", "none")
_SENTENCE = record(
    ("piece", "index"),
    piece=TEXT,
    index=number(0, 10_000),
    text={"type": ["string", "null"], "maxLength": MAX_TEXT},
)
_ZIP, _STREAM = "application/zip", "text/event-stream"


class Teaching:
    """Answers of these doors over one desk."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk

    def doors(self) -> list[Door]:
        one = "/api/tunes/{name}"
        lick = record(("lick",), lick=TEXT, count=number(1, MAX_WANTED))
        choices = record(paper=one_of(*_PAPERS), tab=one_of(*_TABS), audio=one_of(*_AUDIO))
        return [
            Door("POST", f"{one}/vary", "other ways to play a lick", self.vary, body=lick),
            Door("GET", f"{one}/lesson", "the lesson", self.lesson, {"version": VERSION}),
            Door(
                *("POST", f"{one}/sentences", "a sentence of your own", self.sentence),
                body=_SENTENCE,
            ),
            Door("POST", f"{one}/pack", "make the pack", self.pack, body=choices),
            Door("GET", f"{one}/pack.zip", "the pack as a zip", self.zip, gives=_ZIP),
            Door(*("GET", "/api/jobs/{job}/events", "how far a pack is", self.job), gives=_STREAM),
            Door("GET", "/api/levels", "the levels a student can have", self.levels),
        ]

    async def levels(self, _: Request) -> Response:
        return told(list(ladder().levels))

    async def vary(self, request: Request) -> Response:
        name = request.path_params["name"]
        fields = Fields(await body_of(request))
        lick, count = fields.text("lick", 200), fields.number("count", 1, MAX_WANTED, _USUAL)
        looked = await self._desk.playable(name)
        args = (str(self._desk.shelf.folder), name, looked.text, lick, count)
        return told({"proposals": await self._desk.thinker.do(jobs.proposals, *args)})

    async def lesson(self, request: Request) -> Response:
        name = request.path_params["name"]
        version = Query(request).number("version", 0, MAX_VERSION - 1)
        looked = await self._desk.playable(name, version)
        args = (str(self._desk.shelf.folder), name, looked.text)
        data = await self._desk.thinker.do(jobs.lesson, *args, place=f"lesson {name}")
        return told_bytes(data, JSON)

    async def sentence(self, request: Request) -> Response:
        name = request.path_params["name"]
        fields = Fields(await body_of(request))
        piece, index = fields.text("piece", 300), fields.number("index", 0, 10_000)
        text = fields.text("text", MAX_TEXT) if fields.has("text") else None
        looked = await self._desk.playable(name)
        args = (str(self._desk.shelf.folder), name, looked.text, (piece, index, text))
        await self._desk.thinker.do(jobs.sentence, *args)
        return told({"kept": True})

    async def pack(self, request: Request) -> Response:
        name = request.path_params["name"]
        choices = _choices(Fields(await body_of(request)))
        await self._desk.playable(name)
        await self._desk.books.flush(name)
        job = self._desk.packing.begin(name, self._desk.shelf.path(name), choices)
        return told({"job": job})

    async def job(self, request: Request) -> Response:
        job = self._desk.packing.job(request.path_params["job"])
        if job is None:
            raise refused(ABSENT, "there is no such job", "", "make the pack again")
        return StreamingResponse(stream(job), headers=NO_STORE, media_type=_STREAM)

    async def zip(self, request: Request) -> Response:
        name = checked_name(request.path_params["name"])
        folder = self._desk.packing.folder_of(name)
        try:
            file = await run_in_threadpool(zipped, folder, name)
        except OSError as error:
            raise DiskError(error) from None
        plain = name.encode("ascii", "replace").decode().replace("?", "_").replace('"', "_")
        headers = NO_STORE | {"Content-Disposition": f'attachment; filename="{plain}.zip"'}
        return StreamingResponse(chunks(file), headers=headers, media_type=_ZIP)

    async def packed(self, request: Request) -> Response:
        """A file of a pack, to look at."""
        name = checked_name(request.path_params["name"])
        path = request.path_params["path"]
        folder = self._desk.packing.folder_of(name)
        await run_in_threadpool(entry_of, folder, path)
        made_here = await run_in_threadpool(self._desk.packing.made_here, name)
        headers = headers_of(path, made_here=made_here)
        return FileResponse(folder / path, headers=headers, media_type=kind_of(path))


def _choices(fields: Fields) -> Choices:
    paper = _word(fields, "paper", _PAPERS, "a4")
    tab = _word(fields, "tab", _TABS, TabStyle.SIGNS.value)
    kind = _word(fields, "audio", _AUDIO, "mp3")
    audio = Audio() if kind == "none" else Audio(formats=(kind,))
    return Choices("letter" if paper == "letter" else "a4", TabStyle(tab), None, audio)


def _word(fields: Fields, key: str, words: tuple[str, ...], usual: str) -> str:
    word = fields.text(key, 20, usual)
    if word not in words:
        raise refused(422, f"no such {key}", f"It is one of {', '.join(words)}", "take one")
    return word
