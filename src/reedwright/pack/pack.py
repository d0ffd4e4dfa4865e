"""A pack of a tune: everything for the lesson in one folder, made again only after a change.

How: the tune is read once as bytes. If the folder's manifest was made from the same bytes, choices,
recipes and libraries, and every file in it still has its checksum, nothing is done and nothing
heavy is imported. Otherwise the tune is checked and the files are built aside one by one, so that a
tune with errors or a fault on the way leaves the old pack as it is; see `folder` for the rest.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING, Any

from reedwright.errors import FileError, Problem, TuneError
from reedwright.files import read_bytes
from reedwright.pack.folder import Item, opened, replace_files
from reedwright.pack.manifest import (
    NAME,
    TUNE,
    Manifest,
    digest,
    is_bare,
    read_manifest,
)
from reedwright.pack.moving import Moved
from reedwright.pack.recipes import library_versions, recipes
from reedwright.tables import own_tables

if TYPE_CHECKING:
    from reedwright.check.check import Report
    from reedwright.pack.choices import Choices

MAX_BYTES = 4_000_000  # the tune room's bound, which is not imported for a pack that is fresh

_SHEETS = 11  # files beside recordings, about: a tune of several pages has more
Tell = Callable[[int, int, str], None]
"""Is told how many files are made, of how many, and the name of the last one."""


@dataclass(frozen=True, slots=True)
class Packed:
    """What a run did: nothing (`moved` None) because all was fresh or because of errors.

    `report` is None when the pack was fresh; `files` are the names in the pack; `remarks` are what
    a teacher should know of the run beside that.
    """

    title: str
    files: tuple[str, ...]
    moved: Moved | None = None
    report: Report | None = None
    remarks: tuple[str, ...] = ()

    @property
    def refused(self) -> bool:
        """Whether the tune has errors, so that no pack was made."""
        return self.report is not None and not self.report.ok


@dataclass(slots=True)
class _Source:
    """A tune's bytes and, by name, those of its own tuning and temperament files."""

    path: Path
    tune: bytes
    own: dict[str, bytes] = field(default_factory=dict)

    def neighbour(self, name: str) -> str:
        """The text of a file beside the tune; the very bytes it was read from go into the pack.

        Errors: TuneError.
        """
        from reedwright.harp.pitch import shown
        from reedwright.tune.load import bytes_beside, decoded

        data = bytes_beside(self.path, name)
        if not is_bare(name):
            rule = "A pack carries no hidden file, and no name of 200 characters"
            raise TuneError(Problem(f"{shown(name)} beside the tune", rule, "rename the file"))
        self.own[name] = data
        return decoded(data, str(self.path.parent / name))

    @property
    def paths(self) -> tuple[Path, ...]:
        return (self.path, *(self.path.parent / name for name in self.own))


def _spare(source: _Source, folder: Path, names: Iterable[str]) -> None:
    """A pack replaces its files when it is made again, so none of them may be what it is made
    from. Errors: FileError."""
    for name in names:
        for path in source.paths:
            if _same(folder / name, path):
                what = f"the pack would put its own {name} in place of this file of yours"
                mend = "choose a folder apart from the tune, such as one below it"
                raise FileError(str(path), what, mend)


def _same(path: Path, other: Path) -> bool:
    try:
        return path.samefile(other)
    except OSError:  # nothing of that name there
        return False


def pack(path: Path, folder: Path, choices: Choices, tell: Tell = lambda *_: None) -> Packed:
    """Bring the pack of a tune up to date.

    Errors: FileError for tune or folder, and where a pack would take the place of its own tune;
    TuneError for what is in the tune, SheetError for one that is too long to print.
    """
    source = _Source(path, read_bytes(path, MAX_BYTES))
    _spare(source, folder, (TUNE, NAME))
    if os.path.isdir(folder):  # noqa: PTH112 -- Path.is_dir raises where a name is too long
        with opened(folder):
            old = read_manifest(folder)
            if old is not None and _fresh(old, folder, source, choices):
                return Packed(str(old.about.get("title", "")), _names(old))
    elif os.path.lexists(folder):
        raise FileError(str(folder), "there is something else of this name", "choose another")
    return _make(source, folder, choices, tell)


def _make(source: _Source, folder: Path, choices: Choices, tell: Tell) -> Packed:
    from reedwright.breath.lungs_header import lungs_faults
    from reedwright.check.check import check
    from reedwright.sheet.limits import refuse_endless
    from reedwright.tune.load import decoded
    from reedwright.tune.place import place
    from reedwright.tune.read import read_tune

    text = decoded(source.tune, str(source.path))
    tune = read_tune(text, str(source.path), source.neighbour, lungs_faults)
    report = check(place(tune))
    if not report.ok:
        return Packed(tune.title, (), None, report)
    refuse_endless(report.score)
    _spare(source, folder, source.own)
    about = {
        "title": tune.title,
        "harp": tune.harp.as_json(),
        "position": tune.position,
        "key": tune.key_name,
    }
    made_from = _made_from(source, choices)
    remarks: list[str] = []
    with opened(folder):
        moved, new = replace_files(
            folder,
            _items(source, report, choices, (folder, tell, remarks)),
            lambda entries: Manifest(about, made_from, entries),
        )
    return Packed(tune.title, _names(new), moved, report, tuple(remarks))


def _items(
    source: _Source, report: Report, choices: Choices, run: tuple[Path, Tell, list[str]]
) -> Iterator[Item]:
    """Every file of the pack; each is made when it is asked for. Errors: as `pack`."""
    from reedwright.pack.audio import audio_items, recordings
    from reedwright.pack.contents import contents

    folder, tell, remarks = run
    own = {TUNE: source.tune, **source.own}
    formats = len(choices.audio.formats)
    total = len(own) + _SHEETS + len(recordings(report.score, choices)) * formats
    done = 0
    sheets = chain(own.items(), contents(report, choices))
    for done, (name, data) in enumerate(sheets, 1):
        if name not in own:
            _spare(source, folder, [name])
        tell(done, total, name)
        yield Item(name, data)

    def told(made: int, _: int, name: str) -> None:
        tell(done + made, total, name)

    for item in audio_items(report.score, choices, told, remarks):
        _spare(source, folder, [item.path])
        yield item


def _made_from(source: _Source, choices: Choices) -> dict[str, Any]:
    return {
        "tune": digest(source.tune),
        "own_files": {name: digest(data) for name, data in sorted(source.own.items())},
        "own_tables": own_tables(),
        "choices": choices.as_json(),
        "recipes": recipes(audio=bool(choices.audio.formats)),
        "libraries": library_versions(audio=bool(choices.audio.formats)),
    }


def _fresh(old: Manifest, folder: Path, source: _Source, choices: Choices) -> bool:
    """Whether making the pack again would give what the folder holds."""
    if old.made_from.get("tune") != digest(source.tune):
        return False
    own = old.made_from.get("own_files")
    names = [name for name in own if is_bare(name)] if isinstance(own, dict) else []
    try:
        now = {name: read_bytes(source.path.parent / name, MAX_BYTES) for name in names}
    except FileError:
        return False
    same = _Source(source.path, source.tune, now)
    _spare(same, folder, names)
    if old.made_from != _made_from(same, choices):
        return False
    return all(entry.is_in(folder) for entry in old.files)


def _names(manifest: Manifest) -> tuple[str, ...]:
    return tuple(entry.path for entry in manifest.files)
