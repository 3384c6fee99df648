"""One batch over HTTP: answers go out while the body still comes in."""

from __future__ import annotations

import asyncio
from collections.abc import Collection
from typing import Final

from starlette.responses import Response
from starlette.types import Receive, Scope, Send

from service.batch.blocks import AnsweredBlock, Block
from service.batch.pipeline import Flow
from service.batch.spool import Spool
from service.batch.workers import Workers
from service.operation import tally
from service.operation.batch_limits import MOST_AT_ONCE, MOST_OF_ONE, Limits
from service.operation.peers import Shares
from service.operation.progress import Pace
from service.operation.settings import the_patience
from service.problems.problem import Problem

MEDIA_TYPE: Final = "application/x-ndjson"
UNREAD_S: Final = 60.0
"""How long a client that has sent everything may leave its answers unread [s]."""
REST_AFTER_S: Final = 300.0
"""How long after a batch its workers wait for another before they end and give their memory back [s]."""


MOST_USELESS: Final = 16
"""A body whose first so many lines hold not one good one is no batch, and its answers would be far longer (our own)."""
SHARES: Final = Shares(MOST_AT_ONCE, MOST_OF_ONE)
"""Batches under way in this process."""


class Gone(Exception):
    """The client has left, or does not read."""


class BatchResponse(Response):
    """The answer to a batch; it reads the body itself, for nobody may wait for its end."""

    media_type = MEDIA_TYPE

    def __init__(self, workers: Workers, limits: Limits, holders: Collection[str] = ()) -> None:
        super().__init__()
        self._holders = holders
        self._workers = workers
        self._limits = limits
        self._has_place = False

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one exchange; ends early, and quietly, where the client leaves.

        Raises Problem where too many batches are being served, to all or to whoever asks.
        """
        if not SHARES.take(self._holders):
            detail = f"{SHARES.spent_by(self._holders)} batches are being answered; wait for one to end."
            raise Problem("service-unavailable", detail, headers={"Retry-After": "5"})
        self._has_place = True
        body = _Body(receive, self._limits.size)
        try:
            await self._serve(body, _Answers(send, body))
        finally:
            self._give_back()
            body.close()
            asyncio.get_running_loop().call_later(REST_AFTER_S, self._rest)

    def _give_back(self) -> None:
        if self._has_place:
            self._has_place = False
            SHARES.give_back(self._holders)

    def _rest(self) -> None:
        if not SHARES.held:
            self._workers.rest()

    async def _serve(self, body: _Body, answers: _Answers) -> None:
        flow = Flow(
            read=body.read,
            more_waiting=body.more_waiting,
            answer=self._answered,
            write=answers.write,
            under_way=2 * self._workers.count + 1,
            most_lines=self._limits.lines,
            most_useless=MOST_USELESS,
        )
        await answers.start()
        watching, working = asyncio.create_task(body.take_in()), asyncio.create_task(flow.run())
        try:
            await asyncio.wait({watching, working}, return_when=asyncio.FIRST_COMPLETED)
            if working.done():
                working.result()
                self._give_back()  # whoever is told the end may ask again at once
                await answers.end()
        except Gone:
            pass
        finally:
            watching.cancel()
            working.cancel()
            await asyncio.gather(watching, working, return_exceptions=True)

    async def _answered(self, block: Block) -> AnsweredBlock:
        answered = await asyncio.wrap_future(self._workers.answered(block))
        tally.BATCH_LINES.labels("problem").inc(answered.problems)
        tally.BATCH_LINES.labels("advice").inc(answered.lines - answered.problems)
        return answered


class _Body:
    """What has come of the body and was not yet read."""

    def __init__(self, receive: Receive, most: int) -> None:
        self._receive = receive
        self._most = most
        self._size = 0
        self._spool = Spool()
        self._news = asyncio.Event()
        self._problem: Problem | None = None
        self.complete = False

    async def take_in(self) -> None:
        """Take in whatever comes, until the client leaves."""
        pace, clock = Pace(the_patience()), asyncio.get_running_loop().time
        while self._problem is None:
            asked_at = clock()
            try:
                async with asyncio.timeout(None if self.complete else pace.left_s):
                    message = await self._receive()
            except TimeoutError:
                self._problem = pace.refusal()
                break
            if message["type"] == "http.disconnect":
                return
            piece = message.get("body", b"")
            self._keep(piece)
            self.complete = self.complete or not message.get("more_body", False)
            if not (pace.moved(len(piece), clock() - asked_at) or self.complete):
                self._problem = self._problem or pace.refusal()
            self._news.set()
        # The rest is not read; answers to what came before still go out.
        self.complete = True
        self._news.set()
        await asyncio.Event().wait()

    def _keep(self, piece: bytes) -> None:
        fits = piece[: self._most - self._size]
        self._size += len(fits)
        if len(fits) < len(piece):
            self._problem = Problem("body-too-large", f"The body is larger than {self._most // 1024:,} kB.")
        try:
            self._spool.put(fits)
        except OSError:
            self._problem = Problem("service-unavailable", "There is no room to put the body aside; send less at once.")

    def more_waiting(self) -> bool:
        """Whether there is something to read, or nothing will come any more."""
        return bool(self._spool) or self.complete

    async def read(self) -> bytes:
        """The next piece; empty at the end. Raises Problem where the body goes on and is not read."""
        while not self._spool:
            if self.complete:
                if self._problem is not None:
                    raise self._problem
                return b""
            self._news.clear()
            await self._news.wait()
        return self._spool.take()

    def close(self) -> None:
        """Let go of what was put aside."""
        self._spool.close()


class _Answers:
    """The way out."""

    def __init__(self, send: Send, body: _Body) -> None:
        self._send = send
        self._body = body

    async def start(self) -> None:
        """Send the status and the header fields."""
        fields = [(b"content-type", MEDIA_TYPE.encode()), (b"cache-control", b"no-store")]
        await self._send({"type": "http.response.start", "status": 200, "headers": fields})

    async def write(self, answered: AnsweredBlock) -> None:
        """Send the answers to one block, as fast as the client reads.

        Raises Gone where it reads nothing for long. While it still sends, it may be one that reads only afterwards.
        """
        if not answered.data:
            return
        sending = asyncio.create_task(self._part(answered.data, more=True))
        while not (await asyncio.wait({sending}, timeout=UNREAD_S))[0]:
            if self._body.complete:
                sending.cancel()
                raise Gone
        sending.result()

    async def end(self) -> None:
        """Say that this was all."""
        await self._part(b"", more=False)

    async def _part(self, data: bytes, *, more: bool) -> None:
        try:
            await self._send({"type": "http.response.body", "body": data, "more_body": more})
        except OSError:
            raise Gone from None
