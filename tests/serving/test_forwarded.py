"""Addresses that proxies name: believed as far as it goes, and never anything that is no address."""

from __future__ import annotations

import ipaddress
from typing import Any

import pytest

from service.http.proxies import UNKNOWN, peer_of, take_forwarded
from tests.each import each
from tests.serving.served import Running

NAMED = (ipaddress.ip_network("192.0.2.0/24"),)


def asked(peer: str, *written: str, proto: str | None = None) -> dict[str, Any]:
    fields = [(b"x-forwarded-for", each.encode("latin-1")) for each in written]
    fields += [(b"x-forwarded-proto", proto.encode())] if proto else []
    scope: dict[str, Any] = {"client": (peer, 4711), "headers": fields, "scheme": "http"}
    take_forwarded(scope, NAMED)
    return scope


@each(
    [
        ("192.0.2.1", ["203.0.113.9"], "203.0.113.9"),
        ("127.0.0.1", ["203.0.113.9"], "203.0.113.9"),
        ("192.0.2.1", ["198.51.100.1, 203.0.113.9"], "203.0.113.9"),
        ("192.0.2.1", ["198.51.100.1", "203.0.113.9, 192.0.2.7"], "203.0.113.9"),
        ("192.0.2.1", ["203.0.113.9:1234"], "203.0.113.9"),
        ("192.0.2.1", ["[2001:db8::9]:1234"], "2001:db8::9"),
        ("::1", ["::ffff:203.0.113.9"], "203.0.113.9"),
        ("127.0.0.1", ["127.0.0.1"], "127.0.0.1"),
        ("203.0.113.1", ["198.51.100.1"], "203.0.113.1"),
        ("127.0.0.1", ["x" * 60_000], UNKNOWN),
        ("127.0.0.1", ["unknown, [::1]:99, \xff"], UNKNOWN),
        ("127.0.0.1", [""], UNKNOWN),
        ("127.0.0.1", ["1.2.3.4, " * 5000], UNKNOWN),
        ("127.0.0.1", [], "127.0.0.1"),
    ]
)
def test_who_asks_is_an_address_or_not_known(peer: str, written: list[str], caller: str) -> None:
    assert asked(peer, *written)["client"][0] == caller


def test_only_who_is_named_says_whom_to_count() -> None:
    """Somebody on this machine could otherwise be another with each request."""
    assert {peer_of(asked("127.0.0.1", f"203.0.113.{each}")) for each in range(40)} == {"127.0.0.1"}
    assert len({peer_of(asked("192.0.2.1", f"203.0.113.{each}")) for each in range(40)}) == 40
    assert peer_of(asked("192.0.2.1", "2001:db8::1")) == peer_of(asked("192.0.2.1", "2001:db8::2")) == "2001:db8::/64"


def test_the_scheme_is_taken_from_proxies_too() -> None:
    assert asked("192.0.2.1", proto="https")["scheme"] == "https"
    assert asked("192.0.2.1", proto="javascript")["scheme"] == asked("203.0.113.1", proto="https")["scheme"] == "http"


def test_what_is_written_as_an_address_does_not_fill_the_log(two_workers: Running) -> None:
    before = two_workers.log.stat().st_size
    reply, _ = two_workers.ask("GET", "/piles", headers={"X-Forwarded-For": "x" * 60_000, "Authorization": "Bearer x"})
    assert reply.status == 401
    assert two_workers.log.stat().st_size - before < 2000


@pytest.mark.slow
def test_who_takes_another_name_with_each_wrong_token_is_slowed_all_the_same(two_workers: Running) -> None:
    """All of this machine is one; a few are free with each of the two processes."""
    for number in range(12):
        fields = {"X-Forwarded-For": f"203.0.113.{number}", "Authorization": "Bearer x"}
        assert two_workers.ask("GET", "/piles", headers=fields)[0].status in (401, 429)
    told = [line for line in two_workers.lines() if line["event"] == "sign-in refused"]
    assert max(line["held_s"] for line in told) > 0
