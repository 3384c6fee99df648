"""What a disk may hold after a power cut: made from the notes of `power_cut.c`.

Everything flushed is there. Of what was written since, either nothing is there, or any part: each sector of 512 bytes
of each write by chance, in any order. A file's name is there once its folder was flushed, by chance before; a removed
file may still be there until its folder was flushed.
"""

from __future__ import annotations

import random
import struct
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

SECTOR = 512
_HEAD = struct.Struct("<cIQQ")


class Note(NamedTuple):
    """One change, as it was noted."""

    kind: str
    path: str
    offset: int
    data: bytes


def notes_in(log: Path) -> Iterator[Note]:
    """All notes, in order."""
    body, at = log.read_bytes(), 0
    while at < len(body):
        kind, path_length, offset, length = _HEAD.unpack_from(body, at)
        at += _HEAD.size
        path = body[at : at + path_length].decode()
        at += path_length
        yield Note(kind.decode(), path, offset, body[at : at + length])
        at += length


@dataclass
class File:
    """A file: what is surely on the disk, and what was changed since."""

    content: bytearray = field(default_factory=bytearray)
    waiting: list[Note] = field(default_factory=list)
    is_named: bool = False
    is_removed: bool = False


@dataclass
class Disk:
    """The files of one folder."""

    folder: str
    files: dict[str, File] = field(default_factory=dict)

    def take(self, note: Note) -> None:
        """Take in one change."""
        if note.kind == "s" and note.path.rstrip("/") == self.folder:
            for path, file in list(self.files.items()):
                file.is_named = True
                if file.is_removed:
                    del self.files[path]
        elif note.kind == "c":
            self.files[note.path] = File()
        elif note.path not in self.files:
            return
        elif note.kind == "s":
            file = self.files[note.path]
            for change in file.waiting:
                _apply(file.content, change)
            file.waiting.clear()
        elif note.kind == "u":
            self.files[note.path].is_removed = True
        elif note.kind in "wt":
            self.files[note.path].waiting.append(note)
        else:
            raise AssertionError(f"{note.kind} is not simulated")

    def after_cut(self, target: Path, chance: random.Random, keep: float) -> None:
        """Write to `target` what may be left; each part of what was not flushed is kept with probability `keep`."""
        for path, file in self.files.items():
            if not file.is_named and chance.random() >= keep:
                continue
            if file.is_removed and chance.random() < keep:
                continue
            content = bytearray(file.content)
            for change in file.waiting:
                for part in _sectors(change):
                    if chance.random() < keep:
                        _apply(content, part)
            (target / Path(path).name).write_bytes(content)


def _sectors(change: Note) -> Iterator[Note]:
    if change.kind == "t":
        yield change
        return
    at = change.offset
    end = change.offset + len(change.data)
    while at < end:
        stop = min((at // SECTOR + 1) * SECTOR, end)
        yield Note("w", change.path, at, change.data[at - change.offset : stop - change.offset])
        at = stop


def _apply(content: bytearray, change: Note) -> None:
    if change.kind == "t":
        del content[change.offset :]
        content.extend(bytes(change.offset - len(content)))
        return
    content.extend(bytes(max(change.offset - len(content), 0)))
    content[change.offset : change.offset + len(change.data)] = change.data
