"""A worker process: blocks in on standard input, answers out on standard output, until its input ends."""

from __future__ import annotations

import gc
import os
import signal
import struct
import sys
from typing import IO, Final

from service.batch.blocks import AnsweredBlock, Block

HEADER: Final = struct.Struct(">QI")
"""Before a block: number of its first line, bytes."""
REPLY: Final = struct.Struct(">III")
"""Before the answers: lines, problems among them, bytes."""


def send_block(stream: IO[bytes], block: Block) -> None:
    """Write a block to a worker."""
    stream.write(HEADER.pack(block.first, len(block.data)) + block.data)
    stream.flush()


def read_answered(stream: IO[bytes]) -> AnsweredBlock:
    """Read a worker's answer. Raises EOFError where it ends before."""
    lines, problems, size = REPLY.unpack(_exactly(stream, REPLY.size))
    return AnsweredBlock(lines, problems, _exactly(stream, size))


def _exactly(stream: IO[bytes], size: int) -> bytes:
    data = stream.read(size)
    if len(data) < size:
        raise EOFError
    return data


def main() -> None:
    """Serve blocks until standard input ends, as it does when whoever started this is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # who interrupts the starter lets it end its workers in order
    source, sink = sys.stdin.buffer, os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # whatever else writes to standard output must not get between the answers
    from service.batch.answers import answer_block

    answer_block(Block(1, b'{"as_of": "2026-01-18T07:30:00Z", "pile": {"age": 30}, "temperatures": {"core": 45}}\n'))
    # What was loaded stays; what a block makes is dropped whole after it, so looking for cycles meanwhile is waste.
    gc.collect()
    gc.freeze()
    gc.disable()
    while header := source.read(HEADER.size):
        first, size = HEADER.unpack(header)
        answered = answer_block(Block(first, _exactly(source, size)))
        sink.write(REPLY.pack(answered.lines, answered.problems, len(answered.data)) + answered.data)
        sink.flush()
        gc.collect()


if __name__ == "__main__":
    main()
