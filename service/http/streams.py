"""Answers and bodies too long to be held in memory while the other side is slow: they wait in temporary files."""

from __future__ import annotations

import contextlib
import io
import tempfile
from collections.abc import AsyncIterator, Callable, Mapping
from typing import IO, Final

from anyio import CapacityLimiter
from fastapi import Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import Response
from starlette.types import Receive, Scope, Send

from service.http.access import holders_of
from service.http.body import declared_length, note_seen, pieces_of, read_body, too_large
from service.operation.peers import Shares
from service.problems.json_text import LARGEST_BODY
from service.problems.problem import Problem

PIECE: Final = 64 * 1024
"""Bytes sent at a time, each piece once there is room for it."""
_IN_MEMORY: Final = CapacityLimiter(2)
"""Large bodies that are worked on at once."""
SHARES: Final = Shares(most=16, each=4)
"""Such answers under way in one process, those that are read slowly too: of all, and of one address or account."""


@contextlib.asynccontextmanager
async def body_put_aside(request: Request, largest: int) -> AsyncIterator[bytes]:
    """The whole body, which waited in a temporary file until it was complete and it was its turn.

    Raises Problem as `read_body` does.
    """
    if declared_length(request) <= LARGEST_BODY and "transfer-encoding" not in request.headers:
        yield await read_body(request, largest)
        return
    start = note_seen(request)
    if declared_length(request) > largest:
        raise too_large(largest)
    with tempfile.TemporaryFile() as file:
        async for piece in pieces_of(request):
            start += piece[: LARGEST_BODY - len(start)]
            if file.tell() + len(piece) > largest:
                raise too_large(largest)
            try:
                file.write(piece)
            except OSError:
                detail = "There is no room to put the body aside; nothing of it was kept."
                raise Problem("storage-full", detail) from None
        async with _IN_MEMORY:
            file.seek(0)
            yield file.read()


class FileResponse(Response):
    """What `write` writes. It is all written before the first byte is sent, so what fails is told as a problem.

    Where the disk has no room for a temporary file it is held in memory after all: reading needs no writing.
    """

    def __init__(self, write: Callable[[IO[bytes]], Mapping[str, str]], media_type: str) -> None:
        super().__init__(media_type=media_type)
        del self.headers["content-length"]
        self._write = write

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one exchange. Raises Problem where too many are under way, to all or to whoever asks."""
        holders = holders_of(scope)
        if not SHARES.take(holders):
            detail = f"{SHARES.spent_by(holders)} files are being sent; wait for one to end."
            raise Problem("service-unavailable", detail, headers={"Retry-After": "5"})
        try:
            with await run_in_threadpool(self._written) as file:
                await self._send_file(file, send)
        finally:
            SHARES.give_back(holders)

    def _written(self) -> IO[bytes]:
        try:
            return self._fill(tempfile.TemporaryFile())
        except OSError:
            return self._fill(io.BytesIO())
        except Problem as problem:
            if problem.slug != "storage-full":
                raise
            return self._fill(io.BytesIO())

    def _fill(self, file: IO[bytes]) -> IO[bytes]:
        try:
            headers = self._write(file)
        except BaseException:
            file.close()
            raise
        self.headers.update({"content-length": str(file.tell()), **headers})
        file.seek(0)
        return file

    async def _send_file(self, file: IO[bytes], send: Send) -> None:
        await send({"type": "http.response.start", "status": self.status_code, "headers": self.raw_headers})
        while piece := file.read(PIECE):
            await send({"type": "http.response.body", "body": piece, "more_body": True})
        await send({"type": "http.response.body", "body": b"", "more_body": False})
