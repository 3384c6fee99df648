"""Connections that outlive the process that serves them: its own end of the matter.

A process that serves hands its supervisor a copy of each connection as it accepts it, and marks in memory that both see
how far the request on it is. When the process dies, whatever it died of, the supervisor (`keeper`) still has the
connection and knows whether somebody there waits for an answer. A connection costs two short messages, a request two
bytes written.
"""

from __future__ import annotations

import contextlib
import mmap
import socket
import struct
from typing import Any, Final

IDLE: Final = 0
"""Nothing was asked, or all that was asked is answered."""
TAKEN: Final = 1
"""Something of a request was read, and nothing of its answer is out."""
BEGUN: Final = 2
"""A part of an answer is out: nothing else can be said in its place."""
SIZE: Final = 65_536
"""Connections are named by their file handle in the process that serves, below this number (`settings.MOST_FILES`)."""
LATE_S: Final = 2.0
"""A supervisor that does not listen for so long is not waited for: the connection is served all the same [s]."""
OPENED: Final = struct.Struct("<?I")
"""What a message says: whether a connection was opened or closed, and its name."""


class Line:
    """What a process that serves tells its supervisor of its connections."""

    def __init__(self, channel: int, memory: int) -> None:
        self._channel = socket.socket(fileno=channel)
        self._channel.settimeout(LATE_S)
        self._stages = mmap.mmap(memory, SIZE)

    def opened(self, connection: socket.socket) -> None:
        """Leave a copy of a connection with the supervisor."""
        number = connection.fileno()
        if number < SIZE:
            self._stages[number] = IDLE
            with contextlib.suppress(OSError):  # the supervisor is gone; this process will end soon
                socket.send_fds(self._channel, [OPENED.pack(True, number)], [number])

    def closed(self, number: int) -> None:
        """The copy of this connection may go; to be told before the file handle is free for another."""
        with contextlib.suppress(OSError):
            self._channel.send(OPENED.pack(False, number))

    def mark(self, number: int, stage: int) -> None:
        """Note how far the request on a connection is."""
        if number < SIZE:
            self._stages[number] = stage


class Listener(socket.socket):
    """A listening socket whose connections are kept from the moment they are accepted."""

    line: Line

    def accept(self) -> tuple[Connection, Any]:
        """As of any socket."""
        plain, address = super().accept()
        connection = Connection(plain.family, plain.type, plain.proto, plain.detach())
        connection.line = self.line
        self.line.opened(connection)
        return connection, address


class Connection(socket.socket):
    """A connection of which the supervisor holds a copy."""

    line: Line

    def close(self) -> None:
        """Close it for the peer at once: closing this copy alone would tell it nothing."""
        number = self.fileno()
        if number >= 0:
            with contextlib.suppress(OSError):
                self.shutdown(socket.SHUT_RDWR)
            self.line.closed(number)
        super().close()
