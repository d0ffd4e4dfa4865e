"""One open tune: its text, its versions, and the file it came from, kept in step.

An edit is journalled (see `journal`) before it is acknowledged; the file follows a moment later,
written whole. A change of the file by another program is joined to the edits not yet in it; where
the two meet, the file's text is the tune, the other stays in the history, and `Change.lost` says
which version it is. Nothing acknowledged is ever only in memory.

Conventions: versions count from 1. `now_s` in seconds since 1970 is passed in. Every public method
locks the book, so that threads may call them. Errors: DeskError, DiskError, TuneError, FileError.
"""

from __future__ import annotations

import hashlib
import threading
from collections import OrderedDict
from dataclasses import dataclass

from reedwright.desk.changes import Change as Part
from reedwright.desk.changes import changed, whole
from reedwright.desk.faults import CONFLICT, GONE, DeskError, DiskError, refused
from reedwright.desk.journal import WHOLE_EVERY, Journal, Line, Record
from reedwright.desk.merge import merged
from reedwright.desk.shelf import Content, Shelf, Stamp, absent, bytes_of
from reedwright.desk.thin import thinned
from reedwright.errors import Problem

SUFFIX = ".journal"
_RECENT = 32
"""Texts of late versions held ready, for windows that are a little behind (from memory)."""

MAX_VERSION = 2**53
"""What a browser's numbers count exactly (ECMAScript)."""


@dataclass(frozen=True, slots=True)
class State:
    """A tune as it is: `saved` is the version its file holds; `count`: how many versions there
    were; `gone`: somebody took the file."""

    text: str
    version: int
    saved: int
    count: int
    gone: bool = False


@dataclass(frozen=True, slots=True)
class Edit:
    """What a window sends: the version it began from, and the whole text or the changes."""

    version: int
    text: str | None = None
    changes: tuple[Part, ...] = ()
    window: str = ""


class Book:
    """See the module."""

    def __init__(self, shelf: Shelf, name: str) -> None:
        self.name = name
        self.lost = 0
        """A version that lost against the file since `lost` was last looked at; 0 for none."""
        self._shelf = shelf
        self._lock = threading.RLock()
        self._journal = Journal(shelf.kept(name, SUFFIX))
        self._text, self._version, self._last = "", 0, 0
        self._saved_text, self._saved, self._saved_sha = "", 0, ""
        self._stamp: Stamp | None = None
        self._like: Content | None = None
        self._since_whole = 0
        self._by: list[tuple[int, str]] = []
        self._recent: OrderedDict[int, str] = OrderedDict()

    def open(self, now_s: float) -> State:
        """Read journal and file. A file that is gone comes back if it lacked acknowledged edits."""
        with self._lock:
            for record in self._journal.records():
                self._take(record)
            if self._version > self._saved and self._shelf.stamp(self.name) is None:
                self._save(now_s)
            else:
                self._look(now_s)
            return self.state()

    def state(self) -> State:
        with self._lock:
            gone = self._stamp is None
            return State(self._text, self._version, self._saved, self._last, gone)

    @property
    def unsaved(self) -> bool:
        return self._version > self._saved

    def look(self, now_s: float) -> bool:
        """Whether the file was changed by somebody else; what they wrote is taken in."""
        with self._lock:
            before = self._version
            self._look(now_s)
            return self._version != before

    def edit(self, edit: Edit, now_s: float) -> State:
        """Take an edit: on the disk when this returns. Errors: DeskError 409 when the tune is not
        at the edit's version any more; its `more` holds the text of now, and both joined if they
        can be."""
        with self._lock:
            if self._stamp is None or self._shelf.stamp(self.name) not in (None, self._stamp):
                self._look(now_s, may_be_gone=True)
            base = self._base(edit)
            text = whole(edit.text) if edit.text is not None else changed(base, edit.changes)
            if edit.version != self._version and not self._goes_on(edit, text):
                raise self._met(edit, base, text, now_s)
            if text != self._text:
                self._write(text, now_s, edit.window)
            return self.state()

    def restore(self, version: int, now_s: float) -> State:
        """Make an earlier version the newest. Errors: DeskError for one that is not kept."""
        with self._lock:
            text = self.text_at(version)
            if text != self._text:
                self._write(text, now_s, "", f"back to version {version}")
            return self.state()

    def text_at(self, version: int) -> str:
        """The text of a version. Errors: DeskError 410 for one that is not kept."""
        with self._lock:
            if version == self._version:
                return self._text
            if version in self._recent:
                return self._recent[version]
            for record in self._journal.records():
                if record.version == version and record.kind != "saved":
                    return record.text
        raise refused(
            GONE, f"version {version} is not kept", "", "choose one that the history lists"
        )

    def records(self) -> list[Record]:
        """All that the journal holds, but for what was saved when."""
        with self._lock:
            return [record for record in self._journal.records() if record.kind != "saved"]

    def save(self, now_s: float) -> None:
        """Bring the file up to date, what others wrote in it taken in first."""
        with self._lock:
            if self._version > self._saved:
                if self._shelf.stamp(self.name) not in (None, self._stamp):
                    self._look(now_s)
                if self._version > self._saved:
                    self._save(now_s)

    def close(self) -> None:
        with self._lock:
            self._journal.close()

    def _base(self, edit: Edit) -> str:
        try:
            return self.text_at(edit.version)
        except DeskError:
            if edit.text is not None:
                return ""  # unknown: the whole text is here, and nothing to compare it with
            raise DeskError(
                CONFLICT,
                Problem(f"version {edit.version} is not known here", "", "send the whole text"),
                {"version": self._version, "text": self._text},
            ) from None

    def _goes_on(self, edit: Edit, text: str) -> bool:
        """Whether an edit of an older version follows from its own window's last words: the answer
        was lost on the way, and it is sent again, perhaps with more."""
        if text == self._text:
            return True
        since = [window for version, window in self._by if version > edit.version]
        known = self._by and self._by[0][0] <= edit.version + 1
        return bool(known and edit.window and since and set(since) == {edit.window})

    def _met(self, edit: Edit, base: str, mine: str, now_s: float) -> DeskError:
        """Somebody else was faster. What cannot be joined is kept in the history first."""
        more = {"version": self._version, "text": self._text}
        joined = merged(base, mine, self._text) if base or edit.text is None else None
        if joined is not None:
            more["merged"] = joined
        else:
            if mine not in self._recent.values():
                version = self._last + 1
                record = Record("aside", version, now_s, mine, edit.window, why="not chosen")
                self._journal.append(Line(record))
                self._last = version
                self._remember(version, mine)
            more["conflict"] = {"mine": mine, "theirs": self._text, "base": base}
        found = f"the tune is at version {self._version}, not {edit.version}"
        rule = "An edit begins from the newest version"
        return DeskError(CONFLICT, Problem(found, rule, "look at both and choose"), more)

    def _write(self, text: str, now_s: float, window: str, why: str = "") -> None:
        if self._last >= MAX_VERSION:
            raise refused(GONE, "no version is left", "", "begin a new tune")
        version = self._last + 1
        as_change = self._version > 0 and self._since_whole < WHOLE_EVERY
        record = Record("change" if as_change else "text", version, now_s, text, window, why=why)
        if self._journal.full:
            self._thin()
        self._journal.append(Line(record, self._text if as_change else None))
        self._take(record)

    def _take(self, record: Record) -> None:
        """Bring what is known up to a record that is on the disk."""
        self._last = max(self._last, record.version)
        if record.kind == "saved":
            self._saved, self._saved_text = record.version, self._text
            self._saved_sha = record.sha
            return
        self._remember(record.version, record.text)
        if record.kind == "aside":
            return
        self._text, self._version = record.text, record.version
        self._since_whole = 0 if record.kind == "text" else self._since_whole + 1
        self._by = [*self._by[-_RECENT:], (record.version, record.window)]

    def _remember(self, version: int, text: str) -> None:
        self._recent[version] = text
        while len(self._recent) > _RECENT:
            self._recent.popitem(last=False)

    def _look(self, now_s: float, *, may_be_gone: bool = False) -> None:
        stamp = self._shelf.stamp(self.name)
        if stamp is not None and stamp == self._stamp:
            return
        if stamp is None:
            self._stamp = None
            if self._version == 0 and not may_be_gone:
                raise absent(self.name)
            return
        content = self._shelf.read(self.name)
        if self._version == 0 or content.text != self._text:
            sha = hashlib.sha256(content.data).hexdigest()
            if sha != self._saved_sha or self._version == 0:
                self._outside(content, now_s)
        self._like, self._stamp = content, stamp
        if content.text == self._text and self._version > self._saved:
            self._note_saved(content.data, now_s)

    def _outside(self, content: Content, now_s: float) -> None:
        """Others wrote the file: their text, or both joined, becomes the newest version."""
        text = content.text
        if self._version > self._saved:
            joined = merged(self._saved_text, self._text, text)
            if joined is None:
                self.lost = self._version
            else:
                text = joined
        why = "as it was found" if self._version == 0 else "written by another program"
        self._write(text, now_s, "", why)
        self._saved_text = content.text

    def _save(self, now_s: float) -> None:
        data = bytes_of(self._text, self._like)
        self._shelf.write(self.name, data)
        self._stamp = self._shelf.stamp(self.name)
        self._note_saved(data, now_s)

    def _note_saved(self, data: bytes, now_s: float) -> None:
        sha = hashlib.sha256(data).hexdigest()
        record = Record("saved", self._version, now_s, self._text, sha=sha)
        self._journal.append(Line(record))
        self._take(record)

    def _thin(self) -> None:
        """A journal that has grown long keeps fewer of its old states."""
        try:
            self._journal.rewrite(thinned(list(self._journal.records())))
        except OSError as error:
            raise DiskError(error) from None
        self._since_whole = WHOLE_EVERY
