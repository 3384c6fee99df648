"""A stream of bytes cut into blocks of whole lines, and what comes back for a block."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from service.problems.json_text import LARGEST_BODY

BLOCK_LINES: Final = 128
"""Lines in one piece of work: enough to count together, and done in a second or two even where all have a log."""
BLOCK_BYTES: Final = 512 * 1024


@dataclass(frozen=True, slots=True)
class Block:
    """Some whole lines, each ended by a line feed, and the number of the first."""

    first: int
    data: bytes


@dataclass(frozen=True, slots=True)
class AnsweredBlock:
    """The answers to a block as lines of JSON, how many they are, and how many of them are problems."""

    lines: int
    problems: int
    data: bytes
    is_last_word: bool = False
    """Whether it tells of the batch and not of a line of it."""


class Cutter:
    """Cuts what it is fed into blocks.

    Of a line above the size limit only so much is kept that whoever reads it sees that it is too long. What comes after
    the `most` lines that may come is dropped.
    """

    def __init__(self, most: int | None = None) -> None:
        self._most = most
        self.is_beyond = False
        """Whether more lines have come than may come."""
        self._first = 1
        self._count = 0
        self._whole = bytearray()
        self._unfinished = bytearray()

    @property
    def line(self) -> int:
        """Number of the line that is being read."""
        return self._first + self._count

    def feed(self, piece: bytes) -> list[Block]:
        """Take a piece of the stream; the blocks that are full."""
        full: list[Block] = []
        *ends, rest = piece.split(b"\n")
        for end in ends:
            if self._is_past_the_last():
                return full
            self._keep(end)
            self._end_line()
            if self._count >= BLOCK_LINES or len(self._whole) >= BLOCK_BYTES:
                full += self.flush()
        if rest and not self._is_past_the_last():
            self._keep(rest)
        return full

    def flush(self) -> list[Block]:
        """The whole lines so far as a block, or nothing."""
        if self._count == 0:
            return []
        block = Block(self._first, bytes(self._whole))
        self._first += self._count
        self._count = 0
        self._whole.clear()
        return [block]

    def end(self) -> list[Block]:
        """What is left when the stream has ended, the last line with or without a line feed."""
        if self._unfinished:
            self._end_line()
        return self.flush()

    def _is_past_the_last(self) -> bool:
        self.is_beyond = self._most is not None and self.line > self._most
        return self.is_beyond

    def _keep(self, part: bytes) -> None:
        self._unfinished += part[: LARGEST_BODY + 1 - len(self._unfinished)]

    def _end_line(self) -> None:
        self._whole += self._unfinished + b"\n"
        self._unfinished.clear()
        self._count += 1
