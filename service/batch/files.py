"""One batch from a file to a file, for the command line: no limits but those of each line."""

from __future__ import annotations

import asyncio
import os
from collections import deque
from collections.abc import Callable, Coroutine
from dataclasses import dataclass
from typing import IO, Any, Final

from service.batch.blocks import AnsweredBlock, Block
from service.batch.pipeline import Flow
from service.batch.workers import Workers

_PIECE: Final = 256 * 1024

AnswerBlock = Callable[[Block], Coroutine[Any, Any, AnsweredBlock]]


@dataclass(slots=True)
class BatchProgress:
    """How far a batch is."""

    size: int = 0
    """Bytes of the lines that were answered."""
    lines: int = 0
    problems: int = 0


TellProgress = Callable[[BatchProgress], None]


async def answer_file(
    source: IO[bytes], sink: IO[bytes], answer: AnswerBlock, *, under_way: int, tell: TellProgress
) -> BatchProgress:
    """Answer every line of `source` into `sink`; `tell` hears of every block that was written.

    Raises
    ------
    OSError
        If one of the two cannot be read or written.
    """
    counts = BatchProgress()
    sizes: deque[int] = deque()

    async def read() -> bytes:
        return await asyncio.to_thread(_read_some, source)

    async def answer_it(block: Block) -> AnsweredBlock:
        sizes.append(len(block.data))
        return await answer(block)

    async def write(answered: AnsweredBlock) -> None:
        await asyncio.to_thread(_write_out, sink, answered.data)
        counts.size += sizes.popleft()
        counts.lines += answered.lines
        counts.problems += answered.problems
        tell(counts)

    flow = Flow(read=read, more_waiting=lambda: False, answer=answer_it, write=write, under_way=under_way)
    await flow.run()
    return counts


def _read_some(source: IO[bytes]) -> bytes:
    """What is there now, at least one byte unless it has ended: lines of a slow writer are not waited for."""
    return os.read(source.fileno(), _PIECE)


def _write_out(sink: IO[bytes], data: bytes) -> None:
    sink.write(data)
    sink.flush()


async def answer_here(source: IO[bytes], sink: IO[bytes], count: int, tell: TellProgress) -> BatchProgress:
    """Answer a file by so many worker processes of this machine."""
    workers = Workers(count)

    async def answer(block: Block) -> AnsweredBlock:
        return await asyncio.wrap_future(workers.answered(block))

    try:
        return await answer_file(source, sink, answer, under_way=2 * count + 1, tell=tell)
    finally:
        workers.close()
