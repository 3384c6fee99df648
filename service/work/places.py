"""A bounded number of places for heavy work, and a short queue before them.

Work is done in processes and not in threads with a deadline looked at now and then: only a process can be ended
wherever it is, in native code too; it takes no turns at the interpreter that serves the log book and tells of health;
and when the rule engine's native code crashes, that costs the one request it was at: no process that serves runs it.
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
from typing import Any, Final, Literal, TypeVar

from anyio import CapacityLimiter, from_thread, to_thread

from service.operation import tally
from service.operation.batch_limits import default_count
from service.operation.settings import PREFIX, number_in
from service.problems.problem import Problem
from service.work.messages import Broken
from service.work.process import Died, Process

_Result = TypeVar("_Result")
Weight = Literal["quick", "usual", "long"]
"""How much a piece of work is: hundredths of a second, up to a second, or seconds."""
LIMIT_S: Final = 20.0
"""How long one piece of work may take; the largest takes 2 s on a quiet machine."""
WAIT_S: Final = 10.0
"""How long one may wait for a place."""
MOST_WAITING: Final = 16
MOST_QUICK: Final = 256
"""So many may wait with quick work: as much as one place does while one waits."""
RETRY_S: Final = 5
_THREADS: Final = 2 * MOST_WAITING
_TURNS: Final = CapacityLimiter(_THREADS)
_WAITING_THREADS: Final = CapacityLimiter(_THREADS)
"""Threads of requests that read from the log book, have heavy work done, and keep its outcome. More than may wait."""
ADVICE: Final[dict[str, Weight]] = {"none": "quick", "full": "usual"}
"""How much advice is, by the effects that were asked for."""
Asker = Literal["nobody", "request", "thread"]
asker: Final[ContextVar[Asker]] = ContextVar("asker", default="nobody")
"""Who asks in this context: a request, or a thread of the service with no event loop, whose work goes to a place, or
somebody who has no service around, such as the command line."""


@dataclass(eq=False, slots=True)
class _Waiter:
    """Somebody in the queue, and the process that was handed over, if any yet."""

    loop: asyncio.AbstractEventLoop
    called: asyncio.Future[None]
    weight: Weight
    process: Process | None = None
    has_place: bool = False


class Places:
    """Places for work, shared by all event loops of this process: `count`, and one more for quick work alone.

    Long work never takes all of several places, so that short work need not wait for it.
    """

    def __init__(self, count: int, most_waiting: int, wait_s: float, limit_s: float) -> None:
        self.count = count
        self._most_waiting = most_waiting
        self._wait_s = wait_s
        self._limit_s = limit_s
        self._lock = threading.Lock()
        self._idle: list[Process | None] = [None] * (count + 1)
        self._queue: deque[_Waiter] = deque()
        self._heavy_free = count
        self._long_free = max(count - 1, 1)
        tally.PLACES.set(len(self._idle))

    async def work(self, function: Callable[..., Any], *arguments: Any, weight: Weight = "usual") -> Any:
        """Have `function` of this service called with `arguments` in a place; it must return plain data.

        Raises
        ------
        Problem
            `service-unavailable`, to be tried again, where there is no place in time, the work takes too long, or the
            process dies of it; or what the work itself refused.
        """
        process = await self._take(weight)
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
            self._give_back(process, weight)

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

    async def _take(self, weight: Weight) -> Process | None:
        loop = asyncio.get_running_loop()
        with self._lock:
            if self._is_free_for(weight):
                return self._taken(weight)
            if self._is_full_for(weight):
                tally.ENDED.labels("queue full").inc()
                raise _ended("queue full")
            waiter = _Waiter(loop, loop.create_future(), weight)
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
        self._give_back(waiter.process, waiter.weight)

    def _is_free_for(self, weight: Weight) -> bool:
        if weight == "quick":
            return bool(self._idle)
        return bool(self._idle and self._heavy_free and (self._long_free or weight == "usual"))

    def _is_full_for(self, weight: Weight) -> bool:
        quick = sum(waiter.weight == "quick" for waiter in self._queue)
        return quick >= MOST_QUICK if weight == "quick" else len(self._queue) - quick >= self._most_waiting

    def _count_free(self, weight: Weight, by: int) -> None:
        self._heavy_free += by * (weight != "quick")
        self._long_free += by * (weight == "long")
        tally.IN_USE.dec(by)

    def _taken(self, weight: Weight) -> Process | None:
        """A place; one with a process before one without, and the one that worked last: it may know the heap.

        While heavy work is under way the last process that is ready is kept for quick work: starting one takes seconds.
        """
        started = [process for process in self._idle if process is not None]
        is_kept = weight != "quick" and self._heavy_free < self.count and len(started) == 1 and None in self._idle
        taken = started[-1] if started and not is_kept else None
        self._count_free(weight, -1)
        self._idle.remove(taken)
        return taken

    def _give_back(self, process: Process | None, weight: Weight) -> None:
        with self._lock:
            self._idle.append(process)
            self._count_free(weight, 1)
            for waiter in list(self._queue):
                if not self._idle:
                    break
                if self._is_free_for(waiter.weight):
                    self._hand_over(waiter)
            tally.QUEUE.set(len(self._queue))

    def _hand_over(self, waiter: _Waiter) -> None:
        self._queue.remove(waiter)
        try:
            waiter.loop.call_soon_threadsafe(_call, waiter.called)
        except RuntimeError:  # its event loop is closed; nobody waits any more
            return
        waiter.process, waiter.has_place = self._taken(waiter.weight), True


def _call(called: asyncio.Future[None]) -> None:
    if not called.done():
        called.set_result(None)


def _ended(why: str) -> Problem:
    details = {
        "queue full": "All places for work are taken and the queue is full; try again in a moment.",
        "waited": "No place for the work came free in time; try again in a moment.",
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


async def work(function: Callable[..., Any], *arguments: Any, weight: Weight = "usual") -> Any:
    """Have work done in a place of this process: see `Places.work`."""
    return await the_places().work(function, *arguments, weight=weight)


def done(function: Callable[..., Any], *arguments: Any, weight: Weight = "usual") -> Any:
    """The same for a thread of the service; anybody else does the work here."""
    if asker.get() == "nobody":
        return function(*arguments)
    asked = partial(work, function, *arguments, weight=weight)
    return from_thread.run(asked) if asker.get() == "request" else asyncio.run(asked())


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
