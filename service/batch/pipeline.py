"""From a source of bytes by way of whoever answers blocks to a sink, in order and with little in memory."""

from __future__ import annotations

import asyncio
import re
from collections.abc import Awaitable, Callable, Coroutine
from dataclasses import dataclass
from typing import Any, Final

from service.batch.blocks import AnsweredBlock, Block, Cutter
from service.problems.fire import WARNING
from service.problems.problem import Problem

_Queue = asyncio.Queue["asyncio.Task[AnsweredBlock] | None"]
_END: Final = None
REFUSALS_BYTES: Final = 3000
"""So many bytes of refusals are told in one batch: enough to see what is wrong (our own)."""
EARNED_BYTES: Final = 400
"""For each line that got advice so many more: of a batch with one bad line in ten every refusal is told (our own)."""
MOST_NAMED: Final = 50
"""Lines that speak of fire and were refused are named on the last line, up to so many."""
_NUMBER: Final = re.compile(rb'{"line":(\d+)')


@dataclass(frozen=True, slots=True)
class Flow:
    """One batch.

    Parameters
    ----------
    read
        The next piece of the stream, empty at its end. A Problem it raises is told on a last line.
    more_waiting
        Whether more of the stream is there at once; where it is not, lines are worked on as they come.
    answer, write
        Who answers a block, and where answers go: block by block in order, even where a block has none.
    under_way
        How many blocks may be under way: cut and not yet written.
    most_lines
        How many lines may come, if that is limited.
    most_useless
        After how many lines of which not one can be used the rest is not worked on, if that is limited: it is no batch.
        Refusals are then told up to `REFUSALS_BYTES` and `EARNED_BYTES`; those beyond are counted on a last line.
    """

    read: Callable[[], Awaitable[bytes]]
    more_waiting: Callable[[], bool]
    answer: Callable[[Block], Coroutine[Any, Any, AnsweredBlock]]
    write: Callable[[AnsweredBlock], Awaitable[None]]
    under_way: int
    most_lines: int | None = None
    most_useless: int | None = None

    async def run(self) -> None:
        """Answer the whole stream. Raises what `answer` or `write` raise, and what `read` does but problems."""
        queue: _Queue = asyncio.Queue()
        room = asyncio.Semaphore(self.under_way)
        writing = asyncio.create_task(self._write_all(queue, room))
        cutting = asyncio.create_task(self._cut_all(queue, room))
        try:
            done, _ = await asyncio.wait({writing, cutting}, return_when=asyncio.FIRST_EXCEPTION)
            for task in done:
                task.result()
        except _Useless:
            pass
        finally:
            tasks = [writing, cutting, *_left_in(queue)]
            for task in tasks:
                task.cancel()
            await asyncio.gather(*tasks, return_exceptions=True)

    async def _cut_all(self, queue: _Queue, room: asyncio.Semaphore) -> None:
        cutter = Cutter(self.most_lines)

        async def hand_on(blocks: list[Block]) -> None:
            for block in blocks:
                await room.acquire()
                queue.put_nowait(asyncio.create_task(self.answer(block)))

        try:
            while piece := await self.read():
                await hand_on(cutter.feed(piece))
                if cutter.is_beyond:
                    raise Problem("body-too-large", f"There are more than {self.most_lines:,} lines.")
                if queue.empty() and not self.more_waiting():
                    await hand_on(cutter.flush())
            await hand_on(cutter.end())
        except Problem as problem:
            await hand_on(cutter.flush())
            await room.acquire()
            queue.put_nowait(asyncio.create_task(_told(cutter.line, problem)))
        queue.put_nowait(_END)

    async def _write_all(self, queue: _Queue, room: asyncio.Semaphore) -> None:
        lines, is_useful, refusals = 0, False, _Refusals()
        while (task := await queue.get()) is not _END:
            answered = await task
            lines += answered.lines
            is_useful = is_useful or answered.problems < answered.lines
            if self.most_useless is not None:
                answered = refusals.told(answered)
                if not is_useful and lines >= self.most_useless:
                    await self.write(answered)
                    await self.write(_no_batch(lines, refusals))
                    raise _Useless
            await self.write(answered)
            room.release()
        if refusals.untold:
            await self.write(refusals.last_word())


class _Useless(Exception):
    """So many lines, and not one that can be used."""


class _Refusals:
    """How much of refusals has been told, and what of them was not."""

    def __init__(self) -> None:
        self.untold = 0
        self._room = REFUSALS_BYTES
        self._first = self._last = 0
        self._of_fire: list[int] = []

    def told(self, answered: AnsweredBlock) -> AnsweredBlock:
        """The answers without refusals for which there is no room; faults of ours are always told."""
        self._room += EARNED_BYTES * (answered.lines - answered.problems)
        lines = answered.data.splitlines(keepends=True)
        if lines and (number := _NUMBER.match(lines[-1])) is not None:
            self._last = int(number[1])
        if not answered.problems or answered.is_last_word:
            return answered
        kept = [line for line in lines if self._has_room(line)]
        return AnsweredBlock(answered.lines, answered.problems, b"".join(kept))

    def _has_room(self, line: bytes) -> bool:
        number = _NUMBER.match(line)
        if number is None or not line[number.end() :].startswith(b',"problem"') or b'"status":5' in line:
            return True
        if len(line) <= self._room and not self.untold:
            self._room -= len(line)
            return True
        self.untold += 1
        self._first = self._first or int(number[1])
        if WARNING.encode() in line and len(self._of_fire) < MOST_NAMED:
            self._of_fire.append(int(number[1]))
        return False

    def last_word(self, before: str = "") -> AnsweredBlock:
        """How many refusals were not told, from which line on, and which of those lines speak of fire."""
        from service.batch.answers import problem_line

        detail = before
        if self.untold:
            detail += (
                f"{self.untold:,} lines from line {self._first} on cannot be used and have no answer of their own."
            )
        if self._of_fire:
            named = ", ".join(map(str, self._of_fire))
            detail = f"{WARNING} This is for these lines: {named}. {detail}"
        last = problem_line(self._last + 1, Problem("invalid-request", detail))
        return AnsweredBlock(1, 1, last, is_last_word=True)


def _no_batch(lines: int, refusals: _Refusals) -> AnsweredBlock:
    """The last line where there is not one good line among the first: it says why there are no more."""
    return refusals.last_word(
        f"Not one of the first {lines:,} lines can be used: this is no batch of statuses. The rest was not read. "
    )


async def _told(line: int, problem: Problem) -> AnsweredBlock:
    from service.batch.answers import problem_line

    return AnsweredBlock(1, 1, problem_line(line, problem), is_last_word=True)


def _left_in(queue: _Queue) -> list[asyncio.Task[Any]]:
    left: list[asyncio.Task[Any]] = []
    while not queue.empty():
        task = queue.get_nowait()
        if task is not _END:
            left.append(task)
    return left
