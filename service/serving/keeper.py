"""Copies of the connections of a process that serves: when it dies, whoever waits for an answer gets one.

Runs in the supervisor and imports nothing of the application. What is said is handed over ready made.
"""

from __future__ import annotations

import contextlib
import mmap
import os
import selectors
import socket
import time
from collections.abc import Callable
from typing import Final

from service.serving.kept import BEGUN, OPENED, SIZE, TAKEN

ASKED_AGAIN_S: Final = 5.0
"""How long a connection without a request is kept once its process died: what comes on it is answered too [s]."""
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
    """Holds the copies of one process."""

    def __init__(self, files: int) -> None:
        self._most = files - _OWN_FILES
        self.channel, self._theirs = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
        self.channel.setblocking(False)
        self._theirs.setsockopt(socket.SOL_SOCKET, socket.SO_SNDBUF, _ROOM)
        self._memory = os.memfd_create("warmheap-stages", os.MFD_CLOEXEC)
        os.ftruncate(self._memory, SIZE)
        self._stages = mmap.mmap(self._memory, SIZE)
        self._copies: dict[int, int] = {}

    def handed_over(self) -> tuple[int, int]:
        """File handles for the process: its end of the channel and the memory; closed here by `begun`."""
        return self._theirs.fileno(), self._memory

    def begun(self) -> None:
        """The process has its own handles now."""
        self._theirs.close()
        os.close(self._memory)

    def hear(self) -> bool:
        """Take what the process has told, and some more may be left of it: whether there is."""
        for _ in range(_AT_ONCE):
            try:
                said, files, _, _ = socket.recv_fds(self.channel, OPENED.size, 1, socket.MSG_CMSG_CLOEXEC)
            except OSError:
                return False
            if len(said) != OPENED.size:
                return False
            opened, number = OPENED.unpack(said)
            self._drop(number)
            if opened and files:
                self._take(number, files[0])
        return True

    def left(self) -> list[tuple[socket.socket, int]]:
        """The process is dead: its connections that are still of use, with the stage of each."""
        while self.hear():
            pass
        stages = [(number, self._stages[number]) for number in self._copies]
        return [(socket.socket(fileno=self._copies.pop(number)), stage) for number, stage in stages if stage != BEGUN]

    def close(self) -> None:
        """Let everything go."""
        for number in list(self._copies):
            self._drop(number)
        self.channel.close()
        self._stages.close()

    def _take(self, number: int, copy: int) -> None:
        if copy >= self._most:
            os.close(copy)
        else:
            self._copies[number] = copy

    def _drop(self, number: int) -> None:
        copy = self._copies.pop(number, None)
        if copy is not None:
            os.close(copy)


class Orphans:
    """Connections whose process died, until each has had its answer."""

    def __init__(self, selector: selectors.BaseSelector, refusal: bytes) -> None:
        self._selector = selector
        self._refusal = refusal
        self._until: dict[socket.socket, float] = {}

    def take(self, left: list[tuple[socket.socket, int]]) -> int:
        """Answer those who wait, and keep an ear on the others; how many were answered."""
        for orphan, stage in left:
            orphan.setblocking(False)
            self._hold(orphan, ASKED_AGAIN_S, self._first_heard)
            if stage == TAKEN:
                self._refuse(orphan)
        return sum(stage == TAKEN for _, stage in left)

    def look(self) -> None:
        """Let go of those whose time is over."""
        now = time.monotonic()
        for orphan in [each for each, until in self._until.items() if until < now]:
            self._let_go(orphan)

    def close(self) -> None:
        """Let go of all."""
        for orphan in list(self._until):
            self._let_go(orphan)

    def _hold(self, orphan: socket.socket, seconds: float, heard: Callable[[socket.socket], None]) -> None:
        if orphan in self._until:
            self._selector.unregister(orphan)
        self._until[orphan] = time.monotonic() + seconds
        self._selector.register(orphan, selectors.EVENT_READ, lambda: heard(orphan))

    def _first_heard(self, orphan: socket.socket) -> None:
        """Something comes where nothing was asked: a request, or the end."""
        with contextlib.suppress(OSError):
            if orphan.recv(_PIECE):
                self._refuse(orphan)
                return
        self._let_go(orphan)

    def _refuse(self, orphan: socket.socket) -> None:
        try:
            orphan.send(self._refusal)
            orphan.shutdown(socket.SHUT_WR)
        except OSError:
            self._let_go(orphan)
        else:
            self._hold(orphan, LINGER_S, self._rest_heard)

    def _rest_heard(self, orphan: socket.socket) -> None:
        with contextlib.suppress(OSError):
            if orphan.recv(_PIECE):
                return
        self._let_go(orphan)

    def _let_go(self, orphan: socket.socket) -> None:
        self._selector.unregister(orphan)
        del self._until[orphan]
        orphan.close()
