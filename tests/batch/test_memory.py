"""A large batch takes little memory, whoever reads when."""

from __future__ import annotations

import http.client
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.batch.benchmark import children_of, lines, server

pytestmark = pytest.mark.slow
MANY = 100_000
MOST_MORE_MB = 48
"""What a batch of many lines may take beyond one of a few blocks: its body alone is 50 MB, its answers 750 MB."""


def peaks_mb(processes: list[int]) -> list[float]:
    """The most memory each process ever held, from the kernel."""
    found = []
    for process in processes:
        for line in Path(f"/proc/{process}/status").read_text(encoding="ascii").splitlines():
            if line.startswith("VmHWM"):
                found.append(int(line.split()[1]) / 1024)
    return found


@pytest.mark.parametrize("reads_at_once", [True, False])
def test_a_hundred_thousand_lines_are_never_all_in_memory(reads_at_once: bool) -> None:
    some = lines(481)

    def body(count: int) -> Iterator[bytes]:
        for start in range(0, count, len(some)):
            yield b"\n".join(some[: count - start]) + b"\n"

    with server(2) as (port, process):
        assert post(port, body(5000), reads_at_once) == 5000
        before = peaks_mb([process, *children_of(process)])
        assert post(port, body(MANY), reads_at_once) == MANY
        after = peaks_mb([process, *children_of(process)])
    assert len(before) == 3
    assert [more for more in map(float.__sub__, after, before) if more > MOST_MORE_MB] == []


def post(port: int, body: Iterator[bytes], reads_at_once: bool) -> int:
    """Lines that came back; read while the body is sent, or only afterwards."""
    connection = http.client.HTTPConnection("127.0.0.1", port)
    counted: list[int] = []
    connection.putrequest("POST", "/advice/batch")
    connection.putheader("Content-Type", "application/x-ndjson")
    connection.putheader("Transfer-Encoding", "chunked")
    connection.endheaders()
    sock = connection.sock

    def read() -> None:
        reply = http.client.HTTPResponse(sock, method="POST")
        reply.begin()
        count = 0
        while part := reply.read1(1 << 20):
            count += part.count(b"\n")
        counted.append(count)

    reader = threading.Thread(target=read)
    if reads_at_once:
        reader.start()
    for piece in body:
        connection.send(b"%x\r\n%s\r\n" % (len(piece), piece))
    connection.send(b"0\r\n\r\n")
    if not reads_at_once:
        reader.start()
    reader.join()
    connection.close()
    return counted[0]
