"""One process at a place: asked over a socket by whatever event loop needs it, and killed when it takes too long."""

from __future__ import annotations

import asyncio
import socket
import subprocess
from collections.abc import Callable
from typing import Any, Final

from service.operation import tally
from service.operation.process import ONE_THREAD, command, environment
from service.work import messages

START_S: Final = 60.0
"""How long a process may take to load what it needs."""


class Died(Exception):
    """The process ended in the middle of its work, or took too long and was ended."""

    def __init__(self, why: str) -> None:
        super().__init__(why)
        self.why = why


class Process:
    """A process that does one piece of work at a time."""

    def __init__(self) -> None:
        self._socket, theirs = socket.socketpair()
        self._socket.setblocking(False)
        try:
            self._process = subprocess.Popen(
                command("service.work.worker"), env=environment(ONE_THREAD), stdin=theirs.fileno()
            )
        finally:
            theirs.close()
        self._is_ready = False

    @property
    def pid(self) -> int:
        """Its process id."""
        return self._process.pid

    @property
    def is_alive(self) -> bool:
        """Whether it can be asked."""
        return self._process.poll() is None

    async def ask(self, limit_s: float, function: Callable[..., Any], *arguments: Any) -> Any:
        """Have `function` called there.

        Raises
        ------
        Problem, Broken
            What the work ended in.
        Died
            If the process died of it or was killed for taking longer than `limit_s`; it cannot be asked again.
        """
        call = messages.call(function, arguments)
        try:
            if not self._is_ready:
                async with asyncio.timeout(START_S):
                    await self._read()
                self._is_ready = True
            async with asyncio.timeout(limit_s):
                await asyncio.get_running_loop().sock_sendall(self._socket, call)
                data = await self._read()
        except TimeoutError:
            self.end()
            raise Died("too long") from None
        except (OSError, EOFError):
            self.end()
            raise Died("crash") from None
        except BaseException:
            self.end()  # given up in the middle: what it would still say belongs to nobody
            raise
        value, (fired, differed) = messages.read_answer_message(data)
        count_rules(fired, differed)
        return value

    def end(self) -> None:
        """End it, whatever it does."""
        self._process.kill()
        self._process.wait()
        self._socket.close()

    async def _read(self) -> bytes:
        return await self._exactly(messages.LENGTH.unpack(await self._exactly(messages.LENGTH.size))[0])

    async def _exactly(self, size: int) -> bytes:
        loop, data = asyncio.get_running_loop(), bytearray()
        while len(data) < size:
            piece = await loop.sock_recv(self._socket, min(size - len(data), 1 << 18))
            if not piece:
                raise EOFError
            data += piece
        return bytes(data)


def count_rules(fired: dict[str, int], differed: dict[str, int]) -> None:
    """Count the rules that fired, and those on which engine and plain check differed."""
    for rule, times in fired.items():
        tally.RULES.labels(rule).inc(times)
    for times in differed.values():
        tally.DISAGREEMENTS.inc(times)
