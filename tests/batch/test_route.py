"""`POST /advice/batch` on a real server: streaming, limits, refusals, and clients that leave."""

from __future__ import annotations

import http.client
import json
import os
import signal
import socket
import threading
import time
from collections.abc import Iterator
from typing import Any

import pytest
import uvicorn

from service.api import batch as batch_module
from service.app import create_app
from service.batch import exchange as exchange_module
from service.batch import pipeline
from service.batch.blocks import BLOCK_LINES
from service.batch.exchange import BatchResponse
from service.operation.peers import Shares
from service.operation.settings import Patience
from tests.batch.lines import SMALLEST
from tests.batch.test_same_answers import answers_by_themselves

NDJSON = {"Content-Type": "application/x-ndjson"}


@pytest.fixture(name="port", scope="module")
def serving() -> Iterator[int]:
    """The service on a port of its own, with one worker."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port: int = free.getsockname()[1]
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("WARMHEAP_BATCH_WORKERS", "1")
        server = uvicorn.Server(uvicorn.Config(create_app(), port=port, log_level="error"))
        thread = threading.Thread(target=server.run)
        thread.start()
        while not server.started:
            time.sleep(0.01)
        yield port
        server.should_exit = True
        thread.join()
    assert batch_module._running == {}


def post(port: int, body: Any, path: str = "/advice/batch", headers: dict[str, str] = NDJSON) -> tuple[Any, bytes]:
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=30)
    connection.request("POST", path, body, headers)
    reply = connection.getresponse()
    data = reply.read()
    connection.close()
    return reply, data


def lines_of(data: bytes) -> list[dict[str, Any]]:
    assert data.endswith(b"\n") or not data
    return [json.loads(line) for line in data.splitlines()]


def test_each_line_is_answered_as_by_itself_and_in_order(port: int) -> None:
    lines = [SMALLEST, SMALLEST[:-4], SMALLEST.replace(b"45", b"61"), b"{}"]
    reply, data = post(port, b"\n".join(lines))
    assert (reply.status, reply.getheader("content-type")) == (200, "application/x-ndjson")
    assert reply.getheader("x-content-type-options") == "nosniff"
    assert lines_of(data) == answers_by_themselves(lines)


@pytest.mark.parametrize("body", [b"", b"\n\r\n  \n"])
def test_nothing_asked_is_nothing_answered(port: int, body: bytes) -> None:
    reply, data = post(port, body)
    assert (reply.status, data) == (200, b"")


@pytest.mark.parametrize(
    ("path", "headers", "status", "said"),
    [
        ("/advice/batch?effects=full", NDJSON, 422, "without what-ifs"),
        ("/advice/batch?effects=some", NDJSON, 422, "not known"),
        ("/advice/batch?efects=none", NDJSON, 422, "effects"),
        ("/advice/batch", {"Content-Type": "application/json"}, 415, "application/x-ndjson"),
        ("/advice/batch", {"Content-Type": "text/csv"}, 415, "application/x-ndjson"),
        ("/advice/batch", {**NDJSON, "Content-Encoding": "gzip"}, 415, "not packed"),
        ("/advice/batch", {"Content-Type": "application/x-ndjson; charset=latin-1"}, 415, "UTF-8"),
    ],
)
def test_what_cannot_be_is_refused_at_once(
    port: int, path: str, headers: dict[str, str], status: int, said: str
) -> None:
    reply, data = post(port, SMALLEST, path, headers)
    assert (reply.status, reply.getheader("content-type")) == (status, "application/problem+json")
    assert said in json.loads(data)["detail"]


@pytest.mark.parametrize(
    "kind", ["application/x-ndjson; charset=UTF-8", "application/jsonl", "application/json-lines", "Application/NDJSON"]
)
def test_other_names_of_the_media_type_are_taken(port: int, kind: str) -> None:
    reply, data = post(port, SMALLEST + b"\r\n", "/advice/batch?effects=none", {"Content-Type": kind})
    assert reply.status == 200 and lines_of(data)[0]["advice"]["units"] == "metric"


def test_the_answer_begins_before_the_body_ends(port: int) -> None:
    """Each line is sent only when the one before has been answered."""
    with socket.create_connection(("127.0.0.1", port), timeout=30) as connection:
        connection.sendall(_head(chunked=True))
        stream = connection.makefile("rb")
        for number in (1, 2, 3):
            connection.sendall(_chunk(SMALLEST + b"\n"))
            while not (line := stream.readline()).startswith(b"{"):
                assert line
            assert json.loads(line)["line"] == number
        connection.sendall(b"0\r\n\r\n")


def test_a_client_that_reads_only_after_it_has_sent_all_is_served(port: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Megabytes of lines that are refused at once; far more comes back than any socket holds."""
    monkeypatch.setattr(exchange_module, "UNREAD_S", 1.0)
    monkeypatch.setattr(pipeline, "REFUSALS_BYTES", 1e9)
    line = b'{"pile": {"age": "' + b"a" * 190 + b'"}}\n'
    reply, data = post(port, SMALLEST + b"\n" + line * 7_999)
    assert reply.status == 200
    found = lines_of(data)
    assert [found[0]["line"], found[-1]["line"], len(found)] == [1, 8_000, 8_000]


def test_a_body_of_a_size_above_the_limit_is_refused_unread(port: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("WARMHEAP_BATCH_BYTES", "1000")
    reply, data = post(port, (SMALLEST + b"\n") * 20)
    assert reply.status == 413 and "larger than" in json.loads(data)["detail"]


@pytest.mark.parametrize(("variable", "limit"), [("WARMHEAP_BATCH_BYTES", "300"), ("WARMHEAP_BATCH_LINES", "3")])
def test_what_came_before_a_limit_is_answered_and_then_it_is_said(
    port: int, monkeypatch: pytest.MonkeyPatch, variable: str, limit: str
) -> None:
    monkeypatch.setenv(variable, limit)
    pieces = iter([SMALLEST + b"\n"] * 9)
    reply, data = post(port, pieces)
    *answers, last = lines_of(data)
    assert reply.status == 200 and len(answers) == 3 and all("advice" in answer for answer in answers)
    assert (last["line"], last["problem"]["status"]) == (4, 413)


def test_a_body_that_stops_coming_is_told_so(port: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(exchange_module, "the_patience", lambda: Patience(pause_s=0.3))
    with socket.create_connection(("127.0.0.1", port), timeout=30) as connection:
        connection.sendall(_head(chunked=True) + _chunk(SMALLEST + b"\n" + SMALLEST[:20]))
        answers = []
        stream = connection.makefile("rb")
        while len(answers) < 2:
            if (line := stream.readline()).startswith(b"{"):
                answers.append(json.loads(line))
    assert "advice" in answers[0]
    assert (answers[1]["line"], answers[1]["problem"]["status"]) == (2, 408)


def test_only_so_many_batches_are_served_at_once(port: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(exchange_module, "SHARES", Shares(0, 1))
    reply, data = post(port, SMALLEST)
    assert (reply.status, reply.getheader("retry-after")) == (503, "5")
    assert json.loads(data)["type"] == "urn:warmheap:problem:service-unavailable"


@pytest.mark.slow
@pytest.mark.parametrize("reads", [True, False])
def test_the_work_ends_when_the_client_leaves(port: int, reads: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is seen to leave by its closed connection; one that stays and never reads is left after a while."""
    monkeypatch.setattr(exchange_module, "UNREAD_S", 0.5)
    asked: list[int] = []
    before = BatchResponse._answered

    async def counted(self: BatchResponse, block: Any) -> Any:
        asked.append(block.first)
        return await before(self, block)

    monkeypatch.setattr(BatchResponse, "_answered", counted)
    body = (SMALLEST + b"\n") * 20_000
    with socket.create_connection(("127.0.0.1", port), timeout=30) as connection:
        connection.sendall(_head(length=len(body)) + body)
        _until(lambda: exchange_module.SHARES.held == 1)
        if reads:
            assert connection.recv(1000)
            connection.close()
        _until(lambda: exchange_module.SHARES.held == 0)
    assert len(asked) < 100  # of more than 150 blocks
    assert lines_of(post(port, SMALLEST)[1])[0]["line"] == 1


def test_a_connection_serves_one_batch_after_another(port: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """The place of one is free once its end is told, even where there is but one; batches before may still leave."""
    _until(lambda: exchange_module.SHARES.held == 0)
    monkeypatch.setattr(exchange_module, "SHARES", Shares(1, 1))
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=30)
    for count in (3, 1, 0, 2):
        connection.request(
            "POST", "/advice/batch", SMALLEST[:-4] + b"\n" + b"{}\n" * (count - 1) if count else b"", NDJSON
        )
        assert len(lines_of(connection.getresponse().read())) == count
    connection.close()


@pytest.mark.slow
def test_batches_at_once_each_get_their_own_answers_though_the_worker_is_killed(port: int) -> None:
    """Every line is a slip of its own, so that no answer could pass for another's."""
    found: dict[int, list[dict[str, Any]]] = {}

    def ask(client: int) -> None:
        body = b"".join(b'{"slip_%d_%d": 1}\n' % (client, number) for number in range(3000))
        found[client] = lines_of(post(port, SMALLEST + b"\n" + body)[1])[1:]

    clients = [threading.Thread(target=ask, args=(client,)) for client in range(2)]
    for client in clients:
        client.start()
    _until(lambda: exchange_module.SHARES.held == 2)
    (workers,) = batch_module._running.values()
    for process in workers.process_ids():
        os.kill(process, signal.SIGKILL)
    for client in clients:
        client.join()
    for client, lines in found.items():
        slips = [next(e["pointer"] for e in line["problem"]["errors"] if "slip" in e["pointer"]) for line in lines]
        assert slips == [f"/slip_{client}_{number}" for number in range(3000)]


@pytest.mark.slow
def test_workers_without_work_end_after_a_while(port: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(exchange_module, "REST_AFTER_S", 0.05)
    first = post(port, SMALLEST)[1]
    (workers,) = batch_module._running.values()
    _until(lambda: workers.process_ids() == [])
    monkeypatch.undo()
    assert post(port, SMALLEST)[1] == first and len(workers.process_ids()) == 1


def _until(holds: Any) -> None:
    for _ in range(500):
        if holds():
            return
        time.sleep(0.02)
    raise AssertionError("it did not come about")


def _head(*, length: int | None = None, chunked: bool = False) -> bytes:
    size = "Transfer-Encoding: chunked" if chunked else f"Content-Length: {length}"
    kind = "Content-Type: application/x-ndjson"
    return f"POST /advice/batch HTTP/1.1\r\nHost: localhost\r\n{kind}\r\n{size}\r\n\r\n".encode()


def _chunk(data: bytes) -> bytes:
    return b"%x\r\n%s\r\n" % (len(data), data)


def test_limits_that_are_no_numbers_are_refused_at_the_start(monkeypatch: pytest.MonkeyPatch) -> None:
    from service.operation.batch_limits import Limits, limits

    monkeypatch.setenv("WARMHEAP_BATCH_LINES", "7")
    monkeypatch.setenv("WARMHEAP_BATCH_WORKERS", "3")
    assert limits() == Limits(lines=7, size=256 * 1024 * 1024, workers=3)
    monkeypatch.setenv("WARMHEAP_BATCH_WORKERS", "many")
    with pytest.raises(ValueError, match="WARMHEAP_BATCH_WORKERS must be a whole number above 0"):
        create_app()


@pytest.mark.parametrize(
    ("body", "lines"),
    [(b"x\n" * 20_000, BLOCK_LINES), (b'{"a": 1}\n' * 5000, BLOCK_LINES), (b"\0\n" * 50, 50), (b"\0\n" * 16, 16)],
)
def test_lines_of_which_none_is_good_are_not_answered_each(port: int, body: bytes, lines: int) -> None:
    """Answers to rubbish are many times as long as the rubbish: the first few say what is wrong."""
    reply, data = post(port, body)
    told = lines_of(data)
    assert reply.status == 200
    assert [line["line"] for line in told[:-1]] == list(range(1, len(told)))
    assert f"Not one of the first {lines} lines" in told[-1]["problem"]["detail"]
    assert len(data) < 4096


def test_bad_lines_beside_a_good_one_are_answered_in_a_few_kilobytes(port: int) -> None:
    _, data = post(port, SMALLEST + b"\n" + b"x\n" * 300)
    good, *refused, last = data.splitlines(keepends=True)
    assert b'"advice"' in good and len(b"".join([*refused, last])) <= 4096
    told = f"{300 - len(refused)} lines from line {len(refused) + 2} on cannot be used"
    assert told in json.loads(last)["problem"]["detail"] and json.loads(last)["line"] == 302
