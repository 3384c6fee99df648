"""Cutting a stream into blocks, putting bytes aside, and keeping order with little under way."""

from __future__ import annotations

import asyncio
import json
import random
from collections.abc import Awaitable, Callable, Iterable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.batch.answers import problem_line
from service.batch.blocks import BLOCK_BYTES, BLOCK_LINES, AnsweredBlock, Block, Cutter
from service.batch.pipeline import Flow, _Refusals
from service.batch.spool import Spool
from service.problems.fire import WARNING
from service.problems.json_text import LARGEST_BODY
from service.problems.problem import Problem
from tests.each import each

PIECES = st.lists(st.lists(st.sampled_from([b"a", b"bc", b"\n", b"\r\n", b""]), max_size=6).map(b"".join), max_size=12)


def cut(pieces: Iterable[bytes], most: int | None = None) -> list[Block]:
    cutter = Cutter(most)
    blocks = [block for piece in pieces for block in cutter.feed(piece)]
    return blocks + cutter.end()


def lines_in(blocks: list[Block]) -> list[tuple[int, bytes]]:
    """Every line with its number."""
    return [
        (number, line)
        for block in blocks
        for number, line in enumerate(block.data.split(b"\n")[:-1], start=block.first)
    ]


@given(PIECES)
def test_no_line_is_lost_wherever_the_pieces_part(pieces: list[bytes]) -> None:
    text = b"".join(pieces)
    expected = text.split(b"\n")
    assert lines_in(cut(pieces)) == list(enumerate(expected if expected[-1] else expected[:-1], start=1))


def test_blocks_are_bounded_by_lines_and_by_bytes() -> None:
    blocks = cut([b"x\n" * (3 * BLOCK_LINES + 5)])
    assert [block.data.count(b"\n") for block in blocks] == [BLOCK_LINES] * 3 + [5]
    assert [block.first for block in blocks] == [1, 1 + BLOCK_LINES, 1 + 2 * BLOCK_LINES, 1 + 3 * BLOCK_LINES]
    large = cut([(b"y" * 200_000 + b"\n") * 10])
    assert max(len(block.data) for block in large) < BLOCK_BYTES + 200_001


def test_of_a_huge_line_little_is_kept() -> None:
    (block,) = cut([b"z" * 1_000_000] * 5 + [b"\nnext"])
    assert block.data == b"z" * (LARGEST_BODY + 1) + b"\nnext\n"


@each([(b"1\n2\n3", False), (b"1\n2\n3\n", False), (b"1\n2\n3\n4", True), (b"1\n2\n3\n\n", True), (b"\n\n\n", False)])
def test_lines_beyond_the_limit_are_dropped_and_said(text: bytes, beyond: bool) -> None:
    for pieces in ([text], [text[at : at + 1] for at in range(len(text))]):
        cutter = Cutter(most=3)
        blocks = [block for piece in pieces for block in cutter.feed(piece)]
        assert cutter.is_beyond is beyond
        assert len(lines_in(blocks + cutter.end())) == 3


@given(st.lists(st.one_of(st.binary(min_size=1, max_size=40), st.none()), max_size=60))
def test_what_was_put_aside_comes_back_in_order(steps: list[bytes | None]) -> None:
    spool = Spool(kept=50)
    put, taken = b"", b""
    for step in steps:
        if step is None:
            taken += spool.take()
        else:
            spool.put(step)
            put += step
    while spool:
        taken += spool.take()
    assert taken == put and spool.take() == b""
    spool.close()


class Bench:
    """A flow over made-up pieces, with an answerer that takes uneven times."""

    def __init__(self, pieces: list[bytes], under_way: int = 5, most: int | None = None) -> None:
        self.pieces = iter(pieces)
        self.written: list[bytes] = []
        self.now = self.most_at_once = self.answered = 0
        self.rng = random.Random(4)
        self.flow = Flow(self.read, lambda: True, self.answer, self.write, under_way, most)

    async def read(self) -> bytes:
        return next(self.pieces, b"")

    async def answer(self, block: Block) -> AnsweredBlock:
        self.now += 1
        self.most_at_once = max(self.most_at_once, self.now)
        await asyncio.sleep(self.rng.random() / 200)
        self.answered += 1
        return AnsweredBlock(block.data.count(b"\n"), 0, block.data)

    async def write(self, answered: AnsweredBlock) -> None:
        await asyncio.sleep(self.rng.random() / 1000)
        self.now -= 1
        self.written.append(answered.data)


LINES = [b"%d\n" % number for number in range(40 * BLOCK_LINES)]


def test_answers_keep_their_order_and_few_blocks_are_under_way() -> None:
    bench = Bench([b"".join(LINES[start : start + 100]) for start in range(0, len(LINES), 100)])
    asyncio.run(bench.flow.run())
    assert b"".join(bench.written) == b"".join(LINES)
    assert bench.most_at_once == 5


def test_a_problem_of_the_stream_is_told_on_a_last_line() -> None:
    bench = Bench([b"1\n2\n3\n4\n5"], most=3)
    asyncio.run(bench.flow.run())
    *answers, last = b"".join(bench.written).splitlines()
    assert answers == [b"1", b"2", b"3"]
    told = json.loads(last)
    assert (told["line"], told["problem"]["status"]) == (4, 413)


def test_a_body_that_breaks_off_is_answered_as_far_as_it_came() -> None:
    bench = Bench([b"1\n2\n3"])
    good = bench.read

    async def read() -> bytes:
        piece = await good()
        if not piece:
            raise Problem("body-too-slow", "Nothing more came.")
        return piece

    flow = Flow(read, lambda: True, bench.answer, bench.write, 5)
    asyncio.run(flow.run())
    *answers, last = b"".join(bench.written).splitlines()
    assert answers == [b"1", b"2"] and json.loads(last)["line"] == 3


def test_lines_of_a_slow_writer_are_not_waited_for() -> None:
    async def exchange() -> list[bytes]:
        bench = Bench([])
        pieces: asyncio.Queue[bytes] = asyncio.Queue()
        flow = Flow(pieces.get, lambda: False, bench.answer, bench.write, 5)
        running = asyncio.create_task(flow.run())
        for number in range(3):
            pieces.put_nowait(b"%d\n" % number)
            while len(bench.written) <= number:
                await asyncio.sleep(0.001)
        pieces.put_nowait(b"")
        await running
        return bench.written

    assert asyncio.run(exchange()) == [b"0\n", b"1\n", b"2\n"]


@each(["answer", "write"])
def test_a_failure_ends_the_rest_of_the_work(part: str) -> None:
    bench = Bench([b"x\n" * BLOCK_LINES] * 1000)

    def failing(work: Callable[..., Awaitable[object]]) -> Callable[..., Awaitable[object]]:
        async def fails(given: object) -> object:
            if bench.answered >= 8:
                raise ConnectionError("gone")
            return await work(given)

        return fails

    parts = {"answer": bench.answer, "write": bench.write}
    parts[part] = failing(parts[part])  # type: ignore[assignment]
    flow = Flow(bench.read, lambda: True, parts["answer"], parts["write"], 5)  # type: ignore[arg-type]
    with pytest.raises(ConnectionError):
        asyncio.run(flow.run())
    assert bench.answered < 20


def _answer_of(bad: bytes, count: int) -> list[bytes]:
    """The lines of the answer to one good line and many bad ones, all through as over HTTP."""
    blocks = [AnsweredBlock(1, 0, b'{"line":1,"advice":{}}\n')]
    for start in range(2, count + 2, BLOCK_LINES):
        numbers = range(start, min(start + BLOCK_LINES, count + 2))
        lines = [problem_line(number, Problem("invalid-status", bad.decode())) for number in numbers]
        blocks.append(AnsweredBlock(len(lines), len(lines), b"".join(lines)))
    refusals = _Refusals()
    told = [refusals.told(block).data for block in blocks]
    return b"".join([*told, refusals.last_word().data]).splitlines(keepends=True)


@each([b"x", WARNING.encode(), "\N{GRINNING FACE}".encode() * 400])
def test_many_refusals_are_counted_on_one_line(bad: bytes) -> None:
    good, *refused, last = _answer_of(bad, 20_000)
    assert len(b"".join([*refused, last])) <= 4096
    numbers = [json.loads(line)["line"] for line in (good, *refused, last)]
    assert numbers == [*range(1, len(refused) + 2), 20_002]
    detail = json.loads(last)["problem"]["detail"]
    assert f"{20_000 - len(refused):,} lines from line {len(refused) + 2} on cannot be used" in detail
    assert (WARNING in detail) == (bad == WARNING.encode())


def test_where_one_line_in_ten_is_bad_every_refusal_is_told() -> None:
    refusals, told = _Refusals(), 0
    for start in range(1, 2001, 10):
        good = b"".join(b'{"line":%d,"advice":{}}\n' % (start + step) for step in range(9))
        bad = problem_line(start + 9, Problem("invalid-status", "x" * 300, [{"pointer": "/x", "detail": "y" * 300}]))
        told += refusals.told(AnsweredBlock(10, 1, good + bad)).data.count(b'"problem"')
    assert (told, refusals.untold) == (200, 0)
