"""Caps on connections, all together and by peer, and stopping in time."""

from __future__ import annotations

import socket
import time

import pytest

from service.operation.settings import BACKLOG, OWN_FILES, Patience, most_connections, patience
from service.serving.doors import Doors
from tests.each import each
from tests.serving.served import SMALLEST, closed_after, head, running

SHORT = {"first_byte_s": "2", "header_s": "2", "pause_s": "2", "linger_s": "0.5"}


@pytest.mark.slow
def test_more_silent_connections_than_file_handles_do_not_stop_the_service() -> None:
    """1,024 handles, 1,100 connections: those that find no room are told so, and the log stays small."""
    with running(files=1024, **{**SHORT, "first_byte_s": "8"}) as service:
        raw = [service.connect() for _ in range(1100)]
        reply, _ = service.ask("GET", "/health/live")
        assert reply.status in (200, 503)
        told = sum(b" 503 " in _now(each) for each in raw)
        assert told >= 1100 - (1024 - OWN_FILES - BACKLOG)
        begun = time.monotonic()
        assert all(closed_after(each, begun, 15)[0] < 15 for each in raw)
        assert service.ask("GET", "/health/live")[0].status == 200
        assert service.log.stat().st_size < 20_000


def _now(raw: socket.socket) -> bytes:
    raw.settimeout(0.01)
    try:
        return raw.recv(4096)
    except (TimeoutError, ConnectionResetError):
        return b""


def test_one_peer_gets_no_more_than_its_share() -> None:
    doors = Doors(most=10, per_peer=3)
    inside = [doors.enter("203.0.113.9") for _ in range(5)]
    assert inside == ["203.0.113.9"] * 3 + [None, None]
    assert doors.enter("203.0.113.10") is not None
    doors.leave("203.0.113.9")
    assert doors.enter("203.0.113.9") is not None and doors.inside == 4


def test_one_network_of_ipv6_is_one_peer_and_a_mapped_address_is_that_of_ipv4() -> None:
    doors = Doors(most=10, per_peer=1)
    assert doors.enter("2001:db8::1") and doors.enter("2001:db8::ffff:2") is None and doors.enter("2001:db8:0:1::1")
    assert doors.enter("192.0.2.1") and doors.enter("::ffff:192.0.2.1") is None


def test_this_machine_and_proxies_are_counted_only_with_all_others(monkeypatch: pytest.MonkeyPatch) -> None:
    from service.operation.settings import proxies

    monkeypatch.setenv("WARMHEAP_PROXIES", "192.0.2.0/24, 2001:db8::5")
    doors = Doors(most=7, per_peer=1, uncounted=proxies())
    for host in ("127.0.0.1", "127.0.0.1", "::1", "192.0.2.7", "192.0.2.7", "2001:db8::5", "2001:db8::5"):
        assert doors.enter(host) == ""
    assert doors.enter("127.0.0.1") is None, "the cap on all holds for them too"


@each([(1024, 1024 - OWN_FILES - BACKLOG), (65_536, 4000), (256, 16)])
def test_the_cap_leaves_room_below_the_limit_on_file_handles(files: int, most: int) -> None:
    assert most_connections(Patience(), files) == most


@pytest.mark.parametrize("written", ["0", "-1", "soon", "inf", "nan"])
def test_settings_that_cannot_be_are_named(monkeypatch: pytest.MonkeyPatch, written: str) -> None:
    monkeypatch.setenv("WARMHEAP_HEADER_S", written)
    with pytest.raises(ValueError, match="WARMHEAP_HEADER_S"):
        patience()


@pytest.mark.parametrize("workers", ["1", pytest.param("2", marks=pytest.mark.slow)])
def test_it_stops_in_time_whatever_is_open(workers: str) -> None:
    """Silent, trickling, stalled in a body, in a batch, not reading: with the deadlines as they are."""
    with running("--workers", workers, places="1") as service:
        raw = [service.connect(4096) for _ in range(7)]
        raw[1].sendall(b"GET / HT")
        raw[2].sendall(head("POST", "/advice", Content_Type="application/json", Content_Length="500") + b"{")
        raw[3].sendall(head("POST", "/piles/import", Content_Type="application/json", Content_Length="500000") + b"{")
        chunked = head("POST", "/advice/batch", Content_Type="application/x-ndjson", Transfer_Encoding="chunked")
        raw[4].sendall(chunked + b"1\r\n \r\n")
        raw[5].sendall(head("GET", "/openapi.json") * 100)
        asked = head("POST", "/sizing", Content_Type="application/json", Content_Length=str(len(SIZING))) + SIZING
        raw[6].sendall(asked)
        time.sleep(0.5)
        assert (
            service.ask("POST", "/advice?effects=none", SMALLEST, {"Content-Type": "application/json"})[0].status == 200
        )
        waiting = [service.connect() for _ in range(14)]
        for each in waiting:  # more than are done in time
            each.sendall(asked)
        time.sleep(0.2)
        assert service.stop() < 10
        said = [closed_after(each, time.monotonic(), 1)[1] for each in waiting]
        later = [each for each in said if each.startswith(b"HTTP/1.1 503 ")]
        assert later and len(later) + sum(each.startswith(b"HTTP/1.1 200 ") for each in said) == 14
        for each in later:
            assert b"retry-after: " in each and b"x-request-id: " in each and b"application/problem+json" in each
        assert [line for line in service.lines() if "error" in line] == [], "nothing is taken for a fault"
        with pytest.raises(ConnectionRefusedError):
            service.connect()


SIZING = b'{"heat": {"power": "300 W"}, "days": "2 months"}'
