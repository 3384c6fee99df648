"""From a source of bytes by way of whoever answers blocks to a sink, in order and with little in memory."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable, Coroutine
from dataclasses import dataclass
from typing import Any, Final

from service.batch.blocks import AnsweredBlock, Block, Cutter
from service.problems.problem import Problem

_Queue = asyncio.Queue["asyncio.Task[AnsweredBlock] | None"]
_END: Final = None
USELESS_TOLD: Final = 12
"""Of lines without a good one among them so many are answered: enough to see what is wrong (our own)."""


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
        lines, is_useful = 0, False
        while (task := await queue.get()) is not _END:
            answered = await task
            lines += answered.lines
            is_useful = is_useful or answered.problems < answered.lines
            if self.most_useless is not None and not is_useful and lines >= self.most_useless:
                await self.write(_first_of(answered, lines, told=lines - answered.lines))
                raise _Useless
            await self.write(answered)
            room.release()


class _Useless(Exception):
    """So many lines, and not one that can be used."""


def _first_of(answered: AnsweredBlock, lines: int, told: int) -> AnsweredBlock:
    """A few of the answers to a block without a good line, and a last line that says why there are no more."""
    from service.batch.answers import problem_line

    few = answered.data.splitlines(keepends=True)[: max(0, USELESS_TOLD - told)]
    detail = f"Not one of the first {lines:,} lines can be used: this is no batch of statuses. The rest was not read."
    last = problem_line(lines + 1, Problem("invalid-request", detail))
    return AnsweredBlock(len(few) + 1, len(few) + 1, b"".join([*few, last]))


async def _told(line: int, problem: Problem) -> AnsweredBlock:
    from service.batch.answers import problem_line

    return AnsweredBlock(1, 1, problem_line(line, problem))


def _left_in(queue: _Queue) -> list[asyncio.Task[Any]]:
    left: list[asyncio.Task[Any]] = []
    while not queue.empty():
        task = queue.get_nowait()
        if task is not _END:
            left.append(task)
    return left
