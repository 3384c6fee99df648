"""What all share, nobody can hold alone: neither one address nor one account, however slowly it reads or sends."""

from __future__ import annotations

import asyncio
import select
from typing import Any

import pytest

from service.http import streams
from service.http.access import Caller, holders_of
from service.http.proxies import take_forwarded
from service.http.streams import FileResponse
from service.operation.peers import Shares
from service.operation.progress import Pace
from service.operation.settings import Patience
from service.problems.problem import Problem
from tests.each import each
from tests.serving.served import SMALLEST, Running, head, wait_for


def scope_of(peer: str, account: str | None = None, forwarded: str = "") -> dict[str, Any]:
    scope: dict[str, Any] = {"type": "http", "client": (peer, 1), "headers": []}
    if forwarded:
        scope["headers"] = [(b"x-forwarded-for", forwarded.encode())]
        take_forwarded(scope, ())
    scope["warmheap.caller"] = Caller(account or "home", True, "token" if account else None)
    return scope


def test_of_what_all_share_one_has_no_more_than_its_part() -> None:
    shares = Shares(most=5, each=2)
    assert [shares.take(["a", "x"]) for _ in range(3)] == [True, True, False]
    assert not shares.take(["b", "x"]) and not shares.take(["a", "y"]), "by account as by address"
    assert [shares.take([name]) for name in "bbcd"] == [True, True, True, False] and shares.held == 5
    shares.give_back(["a", "x"])
    assert shares.take(["a", "z"])


def test_shares_are_held_by_address_and_by_account() -> None:
    assert holders_of(scope_of("203.0.113.9")) == ("203.0.113.9",)
    assert holders_of(scope_of("203.0.113.9", "one")) == ("account one", "203.0.113.9")
    assert holders_of(scope_of("127.0.0.1", "one", "203.0.113.9")) == ("account one",), "not all of an unnamed proxy's"
    assert holders_of(scope_of("127.0.0.1", None, "203.0.113.9")) == ("127.0.0.1",)


def test_files_that_one_does_not_read_keep_no_other_from_theirs() -> None:
    async def hold() -> list[int]:
        read = asyncio.Event()

        async def unread(message: Any) -> None:
            await read.wait()

        async def receive() -> Any:
            await asyncio.Event().wait()

        def export(scope: dict[str, Any]) -> asyncio.Task[None]:
            return asyncio.create_task(FileResponse(lambda file: {}, "text/csv")(scope, receive, unread))

        others = [scope_of("203.0.113.9", each) for each in "abcdefgh"]
        tasks = [export(each) for each in [scope_of("127.0.0.2")] * 6 + others]
        await asyncio.sleep(0.05)
        refused = [task.exception() for task in tasks if task.done()]
        assert all(isinstance(each, Problem) and each.headers["Retry-After"] == "5" for each in refused)
        counts = [sum(task.done() for task in part) for part in (tasks[:6], tasks[6:])]
        last = export(scope_of("127.0.0.1"))
        await asyncio.sleep(0.02)
        assert not last.done(), "there is one for whoever comes from elsewhere"
        read.set()
        await asyncio.gather(*tasks, last, return_exceptions=True)
        return counts

    assert asyncio.run(hold()) == [2, 4] and streams.SHARES.held == 0


@pytest.mark.slow
def test_batches_that_creep_keep_no_other_from_theirs(two_workers: Running) -> None:
    """From an address of its own each: one has its part of the places of both processes, and no more."""
    asked = head("POST", "/advice/batch", Content_Type="application/x-ndjson", Transfer_Encoding="chunked")
    for _ in range(8):
        two_workers.connect(source="127.0.0.2").sendall(asked + b"1\r\n\n\r\n")
    wait_for(lambda: len(select.select(two_workers.opened, [], [], 0)[0]) >= 4, 20)
    said = [raw.recv(4096)[9:12] for raw in select.select(two_workers.opened, [], [], 0)[0]]
    assert set(said) == {b"503"}, "those that are let in are answered with their first line"
    reply, _ = two_workers.ask("POST", "/advice/batch", SMALLEST, {"Content-Type": "application/x-ndjson"})
    assert reply.status == 200
    two_workers.hang_up()


@each([(25_000, None), (4_100, None), (1_500, 100), (1_300, 95), (3_900, 2500), (900, 150)])
def test_who_creeps_is_let_go_and_who_is_merely_slow_is_not(rate: int, seconds: int | None) -> None:
    """200 kbit/s is 25,000 bytes a second; what is below the steady rate ends, the sooner the slower it is."""
    pace, passed = Pace(Patience()), 0
    while passed < 10_000 and pace.moved(rate, 1.0):
        passed += 1
    assert passed == 10_000 if seconds is None else passed < seconds
