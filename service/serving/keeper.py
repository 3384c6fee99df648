"""Copies of the connections of a process that serves: when it dies, whoever waits for an answer gets one, and those who
do not are served by another.

Runs in the supervisor and imports nothing of the application. What is said is handed over ready made.
"""

from __future__ import annotations

import contextlib
import mmap
import os
import selectors
import socket
import time
from functools import partial
from typing import Final

from service.serving.connection import BEGUN, IDLE, NAME, SIZE, TAKEN, UNKEPT

LINGER_S: Final = 2.0
"""How long the rest of a request is read after its refusal, which closing at once could take from the peer [s]."""
_AT_ONCE: Final = 256
"""Messages read in one turn."""
_ROOM: Final = 1 << 20
"""What may wait in the channel [bytes], or as much as the system allows: some hundreds of messages."""
_PIECE: Final = 65_536
_OWN_FILES: Final = 64
"""File handles the supervisor keeps for itself."""


class Keeper:
    """Hands connections to one process and holds the copies."""

    def __init__(self, files: int) -> None:
        self._most = min(files - _OWN_FILES, SIZE)
        self.channel, self._theirs = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
        self.channel.setblocking(False)
        for end in (self.channel, self._theirs):
            end.setsockopt(socket.SOL_SOCKET, socket.SO_SNDBUF, _ROOM)
        self._memory = os.memfd_create("warmheap-stages", os.MFD_CLOEXEC)
        os.ftruncate(self._memory, SIZE)
        self._stages = mmap.mmap(self._memory, SIZE)
        self._copies: dict[int, socket.socket] = {}

    def __len__(self) -> int:
        """Connections the process has and that are kept here."""
        return len(self._copies)

    def handed_over(self) -> tuple[int, int]:
        """File handles for the process: its end of the channel and the memory; closed here by `begun`."""
        return self._theirs.fileno(), self._memory

    def begun(self) -> None:
        """The process has its own handles now."""
        self._theirs.close()
        os.close(self._memory)

    def hand(self, connection: socket.socket) -> bool:
        """Give the process a connection on which nobody waits, and keep the copy; whether it could be given."""
        number = connection.fileno()
        name = number if number < self._most else UNKEPT
        if name != UNKEPT:
            self._stages[name] = IDLE
        try:
            socket.send_fds(self.channel, [NAME.pack(name)], [number])
        except OSError:
            return False
        if name == UNKEPT:
            connection.close()
        else:
            self._copies[name] = connection
        return True

    def hear(self) -> bool:
        """Let go of what the process has closed, and some more may be left of it: whether there is."""
        for _ in range(_AT_ONCE):
            try:
                said = self.channel.recv(NAME.size)
            except OSError:
                return False
            if len(said) != NAME.size:
                return False
            closed = self._copies.pop(NAME.unpack(said)[0], None)
            if closed is not None:
                closed.close()
        return True

    def left(self) -> tuple[list[socket.socket], list[socket.socket]]:
        """The process is dead: its connections on which somebody waits for an answer, and the others of use."""
        while self.hear():
            pass
        copies, self._copies = self._copies, {}
        waiting = [each for name, each in copies.items() if self._stages[name] == TAKEN]
        for name, each in copies.items():
            if self._stages[name] == BEGUN:
                each.close()
        return waiting, [each for name, each in copies.items() if self._stages[name] not in (TAKEN, BEGUN)]

    def close(self) -> None:
        """Let everything go."""
        for each in self._copies.values():
            each.close()
        self._copies.clear()
        self.channel.close()
        self._stages.close()


class Orphans:
    """Connections whose process died, until each has had its answer."""

    def __init__(self, selector: selectors.BaseSelector, refusal: bytes) -> None:
        self._selector = selector
        self._refusal = refusal
        self._until: dict[socket.socket, float] = {}

    def take(self, waiting: list[socket.socket]) -> None:
        """Answer those who wait."""
        for orphan in waiting:
            orphan.setblocking(False)
            self._until[orphan] = time.monotonic() + LINGER_S
            self._selector.register(orphan, selectors.EVENT_READ, partial(self._rest_heard, orphan))
            try:
                orphan.send(self._refusal)
                orphan.shutdown(socket.SHUT_WR)
            except OSError:
                self._let_go(orphan)

    def look(self) -> None:
        """Let go of those whose time is over."""
        now = time.monotonic()
        for orphan in [each for each, until in self._until.items() if until < now]:
            self._let_go(orphan)

    def close(self) -> None:
        """Let go of all."""
        for orphan in list(self._until):
            self._let_go(orphan)

    def _rest_heard(self, orphan: socket.socket) -> None:
        with contextlib.suppress(OSError):
            if orphan.recv(_PIECE):
                return
        self._let_go(orphan)

    def _let_go(self, orphan: socket.socket) -> None:
        self._selector.unregister(orphan)
        del self._until[orphan]
        orphan.close()
