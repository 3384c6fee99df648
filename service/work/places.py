"""A bounded number of places for heavy work, and a short queue before them.

Work is done in processes and not in threads with a deadline looked at now and then: only a process can be ended
wherever it is, in native code too; it takes no turns at the interpreter that serves the log book and tells of health;
and when the rule engine's native code crashes, that costs the one request it was at. A call costs a tenth of a
millisecond and more memory (`python -m tests.serving.places` measures both).
"""

from __future__ import annotations

import asyncio
import atexit
import os
import threading
from collections import deque
from collections.abc import Callable
from contextvars import ContextVar
from dataclasses import dataclass
from functools import cache, partial
from typing import Any, Final, TypeVar

from anyio import CapacityLimiter, from_thread, to_thread

from service.operation import tally
from service.operation.batch_limits import default_count
from service.operation.settings import PREFIX, number_in
from service.problems.problem import Problem
from service.work.messages import Broken
from service.work.process import Died, Process

_Result = TypeVar("_Result")
LIMIT_S: Final = 20.0
"""How long one piece of work may take; the largest takes 2 s on a quiet machine."""
WAIT_S: Final = 10.0
"""How long one may wait for a place."""
MOST_WAITING: Final = 16
RETRY_S: Final = 5
_THREADS: Final = 2 * MOST_WAITING
_TURNS: Final = CapacityLimiter(_THREADS)
_WAITING_THREADS: Final = CapacityLimiter(_THREADS)
"""Threads of requests that read from the log book, have heavy work done, and keep its outcome. More than may wait."""
serving: Final[ContextVar[bool]] = ContextVar("serving", default=False)
"""Whether this context answers a request, so that heavy work goes to a place."""


@dataclass(eq=False, slots=True)
class _Waiter:
    """Somebody in the queue, and the process that was handed over, if any yet."""

    loop: asyncio.AbstractEventLoop
    called: asyncio.Future[None]
    is_long: bool
    process: Process | None = None
    has_place: bool = False


class Places:
    """Places for work, shared by all event loops of this process.

    Long work never takes all of several places, so that short work need not wait for it.
    """

    def __init__(self, count: int, most_waiting: int, wait_s: float, limit_s: float) -> None:
        self.count = count
        self._most_waiting = most_waiting
        self._wait_s = wait_s
        self._limit_s = limit_s
        self._lock = threading.Lock()
        self._idle: list[Process | None] = [None] * count
        self._queue: deque[_Waiter] = deque()
        self._long_free = max(count - 1, 1)
        tally.PLACES.set(count)

    async def work(self, function: Callable[..., Any], *arguments: Any, is_long: bool = False) -> Any:
        """Have `function` of this service called with `arguments` in a place; it must return plain data.

        Raises
        ------
        Problem
            `service-unavailable`, to be tried again, where there is no place in time, the work takes too long, or the
            process dies of it; or what the work itself refused.
        """
        process = await self._take(is_long)
        try:
            if process is not None and not process.is_alive:
                process.end()
                process = None
            process = process or Process()
            return await process.ask(self._limit_s, function, *arguments)
        except Died as died:
            process = None
            tally.ENDED.labels(died.why).inc()
            raise _ended(died.why) from None
        except (Problem, Broken):
            raise
        except BaseException:
            if process is not None:
                process.end()
                process = None
            raise
        finally:
            self._give_back(process, is_long)

    def process_ids(self) -> list[int]:
        """Of the processes that wait for work."""
        with self._lock:
            return sorted(process.pid for process in self._idle if process is not None)

    def close(self) -> None:
        """End the processes."""
        with self._lock:
            idle, self._idle = self._idle, [None] * len(self._idle)
        for process in idle:
            if process is not None:
                process.end()

    async def _take(self, is_long: bool) -> Process | None:
        loop = asyncio.get_running_loop()
        with self._lock:
            if self._idle and (self._long_free or not is_long):
                return self._taken(is_long)
            if len(self._queue) >= self._most_waiting:
                tally.ENDED.labels("queue full").inc()
                raise _ended("queue full")
            waiter = _Waiter(loop, loop.create_future(), is_long)
            self._queue.append(waiter)
            tally.QUEUE.set(len(self._queue))
        try:
            async with asyncio.timeout(self._wait_s):
                await waiter.called
        except BaseException as error:
            self._leave(waiter)
            if isinstance(error, TimeoutError):
                tally.ENDED.labels("waited").inc()
                raise _ended("waited") from None
            raise
        return waiter.process

    def _leave(self, waiter: _Waiter) -> None:
        with self._lock:
            if not waiter.has_place:
                self._queue.remove(waiter)
                tally.QUEUE.set(len(self._queue))
                return
        self._give_back(waiter.process, waiter.is_long)

    def _taken(self, is_long: bool) -> Process | None:
        """A place; one with a process before one without. The lock is held."""
        self._long_free -= is_long
        tally.IN_USE.inc()
        started = next((each for each in self._idle if each is not None), None)
        self._idle.remove(started)
        return started

    def _give_back(self, process: Process | None, is_long: bool) -> None:
        with self._lock:
            self._idle.append(process)
            self._long_free += is_long
            tally.IN_USE.dec()
            for waiter in list(self._queue):
                if not self._idle:
                    break
                if self._long_free or not waiter.is_long:
                    self._hand_over(waiter)
            tally.QUEUE.set(len(self._queue))

    def _hand_over(self, waiter: _Waiter) -> None:
        self._queue.remove(waiter)
        try:
            waiter.loop.call_soon_threadsafe(_call, waiter.called)
        except RuntimeError:  # its event loop is closed; nobody waits any more
            return
        waiter.process, waiter.has_place = self._taken(waiter.is_long), True


def _call(called: asyncio.Future[None]) -> None:
    if not called.done():
        called.set_result(None)


def _ended(why: str) -> Problem:
    details = {
        "queue full": "All places for heavy work are taken and the queue is full; try again in a moment.",
        "waited": "No place for heavy work came free in time; try again in a moment.",
        "too long": "The work took longer than it may and was ended; ask for less, or try again later.",
        "crash": "The work broke off; try again.",
    }
    return Problem("service-unavailable", details[why], headers={"Retry-After": str(RETRY_S)})


@cache
def the_places() -> Places:
    """The places of this process, by the environment. Raises ValueError where a setting cannot be."""
    places = Places(
        max(int(_setting("PLACES", default_count())), 1),
        max(int(_setting("WAITING", MOST_WAITING)), 1),
        _setting("WAIT_S", WAIT_S),
        _setting("WORK_S", LIMIT_S),
    )
    atexit.register(places.close)
    return places


async def work(function: Callable[..., Any], *arguments: Any, is_long: bool = False) -> Any:
    """Have heavy work done in a place of this process: see `Places.work`."""
    return await the_places().work(function, *arguments, is_long=is_long)


def done(function: Callable[..., Any], *arguments: Any) -> Any:
    """The same for a thread that answers a request; anybody else does the work here."""
    if not serving.get():
        return function(*arguments)
    return from_thread.run(partial(work, function, *arguments))


async def in_thread(function: Callable[[], _Result]) -> _Result:
    """Run a function that may wait for a place, in one of the threads there are for that.

    Raises Problem `service-unavailable` where none comes free in time, or too many wait already.
    """
    if _TURNS.statistics().tasks_waiting >= MOST_WAITING:
        tally.ENDED.labels("queue full").inc()
        raise _ended("queue full")
    borrower = object()
    try:
        async with asyncio.timeout(WAIT_S):
            await _TURNS.acquire_on_behalf_of(borrower)
    except TimeoutError:
        tally.ENDED.labels("waited").inc()
        raise _ended("waited") from None
    try:
        return await to_thread.run_sync(function, limiter=_WAITING_THREADS)
    finally:
        _TURNS.release_on_behalf_of(borrower)


def _setting(name: str, usual: float) -> float:
    written = os.environ.get(PREFIX + name)
    return usual if written is None else number_in(PREFIX + name, written)
