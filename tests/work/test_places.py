"""Places for heavy work: so many, a short queue, a limit that ends the work, and a crash that costs one request."""

from __future__ import annotations

import asyncio
import os
import pickle
import time
from collections.abc import Iterator
from typing import Any

import pytest
from anyio import CapacityLimiter

from service.problems.problem import Problem
from service.work import places as places_module
from service.work.messages import Broken
from service.work.places import Places, done
from tests.work import jobs


@pytest.fixture(name="places")
def two() -> Iterator[Places]:
    """Two places, two may wait."""
    places = Places(2, 2, wait_s=20.0, limit_s=2.0)
    yield places
    places.close()


async def all_of(*calls: Any) -> list[Any]:
    return await asyncio.gather(*calls, return_exceptions=True)


def test_work_is_done_elsewhere_and_the_process_is_kept(places: Places) -> None:
    first, second = (asyncio.run(places.work(jobs.pid_after, 0.0)) for _ in range(2))
    assert first == second != os.getpid()
    assert places.process_ids() == [first]


def test_a_process_that_is_ready_is_kept_for_quick_work() -> None:
    """To start one takes seconds, in which whoever asks whether the service is ready would wait."""
    places = Places(2, 2, wait_s=20.0, limit_s=2.0)
    first, second = (Named(name) for name in ("first", "second"))
    places._idle = [None, first, second]  # type: ignore[list-item]
    assert [places._taken("usual"), places._taken("usual"), places._taken("quick")] == [second, None, first]
    places._idle, places._heavy_free = [None, None, first], 2  # type: ignore[list-item]
    assert places._taken("usual") is first, "nothing else is under way: it need not wait for one to start"


class Named(str):
    """In the place of a process."""


def test_what_work_refuses_is_refused(places: Places) -> None:
    with pytest.raises(Problem) as refused:
        asyncio.run(places.work(jobs.refuse))
    problem = refused.value
    assert (problem.slug, problem.detail, problem.headers) == ("invalid-status", "No.", {"X-Why": "no"})
    assert problem.errors == ({"pointer": "/x", "detail": "no"},)


def test_a_fault_comes_back_without_its_message(places: Places) -> None:
    with pytest.raises(Broken) as broken:
        asyncio.run(places.work(jobs.fail))
    assert broken.value.where["kinds"] == ["KeyError"] and "secret" not in str(broken.value.where)
    assert any(place.startswith("jobs.py") for place in broken.value.where["at"])


def test_only_plain_data_comes_back(places: Places) -> None:
    with pytest.raises(pickle.UnpicklingError):
        asyncio.run(places.work(jobs.no_plain_data))


@pytest.mark.parametrize(("job", "words"), [(jobs.spin, "longer than it may"), (jobs.crash, "broke off")])
def test_work_without_end_is_ended_and_a_crash_costs_one_request(places: Places, job: Any, words: str) -> None:
    """The one is refused, to be tried again; the other beside it is answered, and so is the next."""

    async def both() -> list[Any]:
        return await all_of(places.work(job), places.work(jobs.pid_after, 0.5))

    bad, good = asyncio.run(both())
    assert isinstance(bad, Problem) and bad.status == 503 and words in bad.detail and bad.headers["Retry-After"]
    assert isinstance(good, int)
    assert isinstance(asyncio.run(places.work(jobs.pid_after, 0.0)), int)
    assert len(places.process_ids()) == 1


def test_a_process_that_died_at_rest_is_replaced(places: Places) -> None:
    pid = asyncio.run(places.work(jobs.pid_after, 0.0))
    os.kill(pid, 11)
    time.sleep(0.2)
    assert asyncio.run(places.work(jobs.pid_after, 0.0)) != pid


def test_the_queue_is_short_and_who_finds_it_full_is_told_at_once(places: Places) -> None:
    async def five() -> tuple[list[Any], float]:
        await all_of(*(places.work(jobs.pid_after, 0.3) for _ in range(2)))  # both have started
        tasks = [asyncio.create_task(places.work(jobs.pid_after, 1.0)) for _ in range(4)]
        await asyncio.sleep(0.05)
        begun = time.monotonic()
        with pytest.raises(Problem, match="queue is full"):
            await places.work(jobs.pid_after, 0.0)
        return await all_of(*tasks), time.monotonic() - begun

    found, _ = asyncio.run(five())
    assert len(set(found)) == 2 and all(isinstance(each, int) for each in found)


def test_waiting_is_bounded() -> None:
    places = Places(1, 5, wait_s=0.3, limit_s=5.0)

    async def two() -> list[Any]:
        await places.work(jobs.pid_after, 0.0)
        return await all_of(places.work(jobs.pid_after, 1.0), places.work(jobs.pid_after, 0.0))

    first, second = asyncio.run(two())
    assert isinstance(first, int)
    assert isinstance(second, Problem) and "in time" in second.detail and second.status == 503
    assert asyncio.run(places.work(jobs.pid_after, 0.0)) == first
    places.close()


def test_long_work_leaves_a_place_for_short_work(places: Places) -> None:
    async def mixed() -> list[bool]:
        await all_of(*(places.work(jobs.pid_after, 0.3) for _ in range(2)))
        long = [asyncio.create_task(places.work(jobs.pid_after, 1.5, weight="long")) for _ in range(3)]
        await asyncio.sleep(0.05)
        await places.work(jobs.pid_after, 0.0)
        over = [task.done() for task in long]
        await all_of(*long)
        return over

    assert not any(asyncio.run(mixed())[1:]), "long work goes one after the other, and the short one beside it"


def test_who_gives_up_leaves_no_place_taken(places: Places) -> None:
    async def give_up() -> None:
        tasks = [asyncio.create_task(places.work(jobs.pid_after, 1.0)) for _ in range(4)]
        await asyncio.sleep(0.1)
        for task in tasks:
            task.cancel()
        await all_of(*tasks)

    asyncio.run(give_up())
    assert isinstance(asyncio.run(places.work(jobs.pid_after, 0.0)), int)
    assert len(places._idle) == 3 and not places._queue and places._long_free == 1


def test_beside_requests_work_is_done_here() -> None:
    assert done(jobs.pid_after, 0.0) == os.getpid()


def test_threads_that_wait_for_places_are_bounded_too(monkeypatch: pytest.MonkeyPatch) -> None:
    """So many run, so many wait, the next is told at once, and who waits too long is told as well."""
    monkeypatch.setattr(places_module, "_TURNS", CapacityLimiter(1))
    monkeypatch.setattr(places_module, "MOST_WAITING", 1)
    monkeypatch.setattr(places_module, "WAIT_S", 0.2)

    async def three() -> list[Any]:
        first = asyncio.create_task(places_module.in_thread(lambda: time.sleep(0.6)))
        await asyncio.sleep(0.05)
        second = asyncio.create_task(places_module.in_thread(lambda: None))
        await asyncio.sleep(0.05)
        return await all_of(first, second, places_module.in_thread(lambda: None))

    first, second, third = asyncio.run(three())
    assert first is None
    assert isinstance(second, Problem) and "in time" in second.detail
    assert isinstance(third, Problem) and "queue is full" in third.detail
