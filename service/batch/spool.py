"""Bytes that came before somebody was ready for them: a few in memory, the others in a temporary file.

A client that sends its whole body before it reads the first answer is so served too, without its body in memory.
"""

from __future__ import annotations

import tempfile
from collections import deque
from typing import Final

KEPT: Final = 1024 * 1024
"""Bytes held in memory."""
_PIECE: Final = 64 * 1024


class Spool:
    """A queue of bytes that takes whatever it is given."""

    def __init__(self, kept: int = KEPT) -> None:
        self._kept = kept
        self._pieces: deque[bytes] = deque()
        self._held = 0
        self._file = tempfile.TemporaryFile(buffering=0)  # noqa: SIM115 - closed by `close`
        self._written = 0
        self._read = 0

    def __bool__(self) -> bool:
        return bool(self._pieces) or self._read < self._written

    def put(self, piece: bytes) -> None:
        """Take a piece. Raises OSError where the disk is full."""
        if self._read == self._written and self._held + len(piece) <= self._kept:
            self._pieces.append(piece)
            self._held += len(piece)
            return
        self._file.seek(self._written)
        self._written += self._file.write(piece)

    def take(self) -> bytes:
        """The next bytes, in the order they came; empty where there are none."""
        if self._pieces:
            piece = self._pieces.popleft()
            self._held -= len(piece)
            return piece
        self._file.seek(self._read)
        piece = self._file.read(min(_PIECE, self._written - self._read))
        self._read += len(piece)
        if self._read == self._written > 0:
            self._file.truncate(0)
            self._read = self._written = 0
        return piece

    def close(self) -> None:
        """Let go of everything."""
        self._pieces.clear()
        self._file.close()
