"""Connections that outlive the process that serves them: its own end of the matter.

The supervisor accepts all connections, keeps a copy of each and hands it to a process, which marks in memory that both
see how far the request on it is. When the process dies, whatever it died of, the supervisor (`keeper`) still has the
connection and knows whether somebody there waits for an answer. A connection costs two short messages, a request three
bytes written.
"""

from __future__ import annotations

import contextlib
import mmap
import os
import socket
import struct
from collections.abc import Iterator
from typing import Final

IDLE: Final = 0
"""Nothing was asked, or all that was asked is answered."""
TAKEN: Final = 1
"""Something of a request was read, or is about to be, and nothing of its answer is out."""
BEGUN: Final = 2
"""A part of an answer is out: nothing else can be said in its place."""
ENDING: Final = 3
"""A whole answer is being handed to the system, in one call: by the time anybody can look, it is out."""
SIZE: Final = 65_536
"""Connections are named by their file handle in the supervisor, below this number (`settings.MOST_FILES`)."""
UNKEPT: Final = SIZE
"""Name of those the supervisor has no file handle for."""
LATE_S: Final = 2.0
"""A supervisor that does not listen for so long is not waited for: its copy lives until this process ends [s]."""
NAME: Final = struct.Struct("<I")
"""What a message says: the name of a connection; with its file handle where it is handed over, bare when it closed."""


class Line:
    """What passes between a process that serves and its supervisor about connections."""

    def __init__(self, channel: int, memory: int) -> None:
        self.hears = socket.socket(fileno=channel)
        self._says = self.hears.dup()
        self.hears.setblocking(False)
        self._says.settimeout(LATE_S)
        self._stages = mmap.mmap(memory, SIZE)
        self._names: dict[int, int] = {}

    def handed(self) -> Iterator[Connection]:
        """The connections that were handed over and not yet taken; raises EOFError where the supervisor is gone."""
        while True:
            try:
                said, files, _, _ = socket.recv_fds(self.hears, NAME.size, 1, socket.MSG_CMSG_CLOEXEC)
            except BlockingIOError:
                return
            except OSError as error:
                raise EOFError from error
            if not said:
                raise EOFError
            for number in files:
                os.set_blocking(number, False)
                self._names[number] = NAME.unpack(said)[0]
                yield Connection(self, number)

    def closed(self, number: int) -> None:
        """The copy of this connection may go; to be told before the file handle is free for another."""
        with contextlib.suppress(OSError):
            self._says.send(NAME.pack(self._names.pop(number, UNKEPT)))

    def mark(self, number: int, stage: int) -> None:
        """Note how far the request on a connection is, which is named by its file handle here."""
        name = self._names.get(number, UNKEPT)
        if name < SIZE:
            self._stages[name] = stage

    def rests(self, number: int) -> bool:
        """Whether nobody waits for an answer on this connection."""
        name = self._names.get(number, UNKEPT)
        return name < SIZE and self._stages[name] == IDLE


class Connection(socket.socket):
    """A connection of which the supervisor holds a copy."""

    def __init__(self, line: Line, number: int) -> None:
        super().__init__(fileno=number)
        self._line = line

    def recv(self, bufsize: int, flags: int = 0, /) -> bytes:
        """As of any socket. What is read would be gone with this process, so it is marked before."""
        rested = self._line.rests(self.fileno())
        if rested:
            self._line.mark(self.fileno(), TAKEN)
        data = b""
        try:
            data = super().recv(bufsize, flags)
        finally:
            if rested and not data:
                self._line.mark(self.fileno(), IDLE)
        return data

    def close(self) -> None:
        """Close it for the peer at once: closing this copy alone would tell it nothing."""
        number = self.fileno()
        if number >= 0:
            with contextlib.suppress(OSError):
                self.shutdown(socket.SHUT_RDWR)
            self._line.closed(number)
        super().close()
