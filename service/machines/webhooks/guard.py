"""Which addresses a webhook may go to: never into the network the service stands in, unless its owner allows it.

A name is resolved once, every address it has must be allowed, and the connection goes to an address that was judged,
so that a name which answers differently the second time gains nothing.
"""

from __future__ import annotations

import ipaddress
import os
import socket
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final
from urllib.parse import urlsplit

from service.operation.peers import Address
from service.operation.settings import Network

ALLOW_VARIABLE: Final = "WARMHEAP_WEBHOOKS_ALLOW"
LONGEST_URL: Final = 200
"""Characters; no text of a request may be longer."""
Resolve = Callable[[str, int], list[str]]
_NAT64: Final = ipaddress.IPv6Network("64:ff9b::/96")
_IPV4_COMPATIBLE: Final = ipaddress.IPv6Network("::/96")
_NOT_PUBLIC: Final = tuple(map(ipaddress.ip_network, ("192.88.99.0/24", "3fff::/20")))
"""Beside those that Python's registry names: the former anycast of 6to4 (RFC 7526) and addresses for documentation (RFC
9637), both from memory."""


class RefusedError(ValueError):
    """This address is not one to send to; the message says why."""


@dataclass(frozen=True, slots=True)
class Target:
    """Where to connect: the addresses that were judged, and the name they go by in TLS and in the Host header."""

    host: str
    port: int
    addresses: tuple[str, ...]
    path: str
    is_tls: bool


def allowed_networks() -> tuple[Network, ...]:
    """Local networks that may be sent to: addresses or networks parted by commas in WARMHEAP_WEBHOOKS_ALLOW.

    Raises RefusedError for what is neither.
    """
    given = os.environ.get(ALLOW_VARIABLE, "")
    try:
        return tuple(ipaddress.ip_network(part.strip(), strict=False) for part in given.split(",") if part.strip())
    except ValueError as error:
        raise RefusedError(f"{ALLOW_VARIABLE} of this service is wrong: {error}") from None


def resolve(host: str, port: int) -> list[str]:
    """All addresses of a name."""
    found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
    return list(dict.fromkeys(str(entry[4][0]) for entry in found))


def target_of(url: str, allow: tuple[Network, ...], resolver: Resolve = resolve) -> Target:
    """Judge an address and settle where to connect.

    Raises
    ------
    RefusedError
        If it is malformed, has no address, or any of its addresses is not public and not allowed.
    """
    scheme, host, port, path = _parts(url)
    try:
        addresses = resolver(host, port)
    except (OSError, UnicodeError):
        raise RefusedError(f"the name {host} cannot be found") from None
    if not addresses:
        raise RefusedError(f"the name {host} has no address")
    judged = [_address(written) for written in addresses]
    local = [is_allowed(address, allow) for address in judged]
    for address, is_local in zip(judged, local, strict=True):
        if not is_local and not is_public(address):
            raise RefusedError(f"{host} is not a public address; {ALLOW_VARIABLE} can allow it")
    if scheme == "http" and not all(local):
        raise RefusedError("https is wanted: http is only for addresses that are allowed as local")
    return Target(host, port, tuple(map(str, judged)), path, scheme == "https")


def is_public(address: Address) -> bool:
    """Whether it belongs to the open internet; an IPv4 address inside an IPv6 one is judged as itself."""
    inner = _inner(address)
    if inner is not None:
        return is_public(inner)
    site_local = isinstance(address, ipaddress.IPv6Address) and address.is_site_local
    if is_allowed(address, _NOT_PUBLIC):
        return False
    return address.is_global and not site_local and not address.is_multicast and not address.is_reserved


def is_allowed(address: Address, allow: tuple[Network, ...]) -> bool:
    """Whether the owner has allowed it."""
    inner = _inner(address) or address
    return any(inner.version == network.version and inner in network for network in allow)


def _inner(address: Address) -> ipaddress.IPv4Address | None:
    """The IPv4 address that an IPv6 address stands for: mapped, 6to4, Teredo, NAT64, or compatible."""
    if isinstance(address, ipaddress.IPv4Address):
        return None
    if address.ipv4_mapped is not None:
        return address.ipv4_mapped
    if address.sixtofour is not None:
        return address.sixtofour
    if address.teredo is not None:
        return address.teredo[1]
    if address in _NAT64 or (address in _IPV4_COMPATIBLE and int(address) > 1):
        return ipaddress.IPv4Address(int(address) & 0xFFFFFFFF)
    return None


def _address(written: str) -> Address:
    try:
        return ipaddress.ip_address(written.partition("%")[0])
    except ValueError:
        raise RefusedError(f"{written} is no address") from None


def _parts(url: str) -> tuple[str, str, int, str]:
    """Scheme, host, port and path of an address that is well formed."""
    if len(url) > LONGEST_URL or not url.isascii() or not url.isprintable() or " " in url or "\\" in url:
        raise RefusedError(f"a web address of at most {LONGEST_URL} plain characters is wanted")
    try:
        parts = urlsplit(url)
        port = parts.port
    except ValueError:
        raise RefusedError("this is no web address") from None
    if parts.scheme not in ("https", "http") or not parts.hostname:
        raise RefusedError("an address that begins with https:// is wanted")
    if parts.username is not None or parts.password is not None:
        raise RefusedError("user and password do not belong into the address; messages are signed")
    if port == 0:
        raise RefusedError("there is no port 0")
    path = (parts.path or "/") + (f"?{parts.query}" if parts.query else "")
    return parts.scheme, parts.hostname, port or (443 if parts.scheme == "https" else 80), path
