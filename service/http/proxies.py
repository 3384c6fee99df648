"""Who asks, where a proxy passed the request on: addresses that it names are believed, and nothing else.

A proxy on this machine need not be named to be believed that somebody else asks, which only takes rights away. But who
it says it is may be made up by whoever sits here; so what is counted by address is counted under the proxy's, unless it
is named in `WARMHEAP_PROXIES`.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from starlette.types import Scope

from service.operation.peers import Address, counted_as, peer_address
from service.operation.settings import Network

UNKNOWN: Final = "unknown"
"""In the place of an address where a proxy named none: it is not this machine's."""
MOST_HOPS: Final = 20
"""Proxies of ours in a row; what is written before is nobody's word that counts."""
LONGEST: Final = 1000
"""So much of the field's end is looked at [bytes]."""
_PASSED_ON_BY: Final = "warmheap.passed_on_by"


def take_forwarded(scope: Scope, named: Sequence[Network]) -> None:
    """Put the caller's address and scheme in the place of the proxy's, where the peer is a proxy that is believed."""
    client = scope.get("client")
    proxy = peer_address(client[0]) if client else None
    if proxy is None or not _is_ours(proxy, named):
        return
    written = [value for name, value in scope["headers"] if name == b"x-forwarded-for"]
    if written:
        caller = _caller(b",".join(written)[-LONGEST:].decode("latin-1"), named)
        scope["client"] = (UNKNOWN if caller is None else str(caller), 0)
        if not any(proxy in each for each in named):
            scope[_PASSED_ON_BY] = str(proxy)
    for name, value in scope["headers"]:
        if name == b"x-forwarded-proto" and value in (b"http", b"https"):
            scope["scheme"] = value.decode()


def peer_of(scope: Scope) -> str:
    """The name under which this request is counted: who asks, or who passed it on where that is not sure."""
    client = scope.get("client")
    return scope.get(_PASSED_ON_BY) or counted_as(client[0] if client else None)


def is_sure(scope: Scope) -> bool:
    """Whether the caller's address is: a proxy that passed the request on was named, or there was none."""
    return _PASSED_ON_BY not in scope


def _caller(written: str, named: Sequence[Network]) -> Address | None:
    """The last address that is none of our proxies', or the first of theirs; None where something else stands there."""
    address = None
    for part in reversed(written.split(",")[-MOST_HOPS:]):
        address = peer_address(_without_port(part.strip()))
        if address is None or not _is_ours(address, named):
            break
    return address


def _is_ours(address: Address, named: Sequence[Network]) -> bool:
    return address.is_loopback or any(address in network for network in named)


def _without_port(written: str) -> str:
    if written.startswith("["):
        return written[1:].partition("]")[0]
    return written.partition(":")[0] if written.count(":") == 1 else written
