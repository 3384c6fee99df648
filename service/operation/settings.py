"""How patient the server is and how much it takes on: settings from the environment, checked at the start."""

from __future__ import annotations

import ipaddress
import os
import resource
from dataclasses import dataclass, fields
from functools import cache
from typing import Final

Network = ipaddress.IPv4Network | ipaddress.IPv6Network
PREFIX: Final = "WARMHEAP_"
PROXIES_VARIABLE: Final = "WARMHEAP_PROXIES"
ORIGINS_VARIABLE: Final = "WARMHEAP_ORIGINS"
BACKLOG: Final = 128
"""Connections the kernel holds until they are accepted; as many may be accepted in one turn of the event loop."""
OWN_FILES: Final = 240
"""File handles kept back for the log book (40 connections of three files), pipes to workers, and temporary files."""
MOST_FILES: Final = 65_536
"""The soft limit on file handles is raised to this where the hard one allows it."""
FEWEST_CONNECTIONS: Final = 16


@dataclass(frozen=True, slots=True)
class Patience:
    """Deadlines [s] and rates [bytes/s] of a connection. Each is a setting: `WARMHEAP_` and the name in capitals."""

    first_byte_s: float = 10.0
    """From the opening of a connection to the first byte of a request."""
    header_s: float = 10.0
    """From the first byte of a request to the end of its header."""
    keep_alive_s: float = 15.0
    """How long a connection may rest between two requests."""
    pause_s: float = 15.0
    """The longest pause within a body, and in the reading of an answer."""
    least_rate: float = 1000.0
    """What must come of a body, and be read of an answer, on the mean over a pause."""
    steady_s: float = 60.0
    """What a longer transfer is measured over."""
    steady_rate: float = 4000.0
    """What must come, and be read, on the mean over that: what holds a place that others wait for may not creep."""
    linger_s: float = 2.0
    """How long the rest of a body is still taken, and thrown away, after its request was answered."""
    stop_s: float = 8.0
    """From the signal to stop to the end, whatever is open."""
    connections: float = 0
    """Most connections at once; 0: as many as the limit on file handles leaves room for, at most 4,000."""
    per_peer: float = 100
    """Most connections of one address (one /64 network with IPv6), loopback and proxies excepted."""


MOST_CONNECTIONS: Final = 4000


def patience() -> Patience:
    """From the environment. Raises ValueError, naming the variable, where one is no number above 0."""
    found = {}
    for each in fields(Patience):
        written = os.environ.get(PREFIX + each.name.upper())
        if written is not None:
            found[each.name] = number_in(PREFIX + each.name.upper(), written, zero=each.name == "connections")
    return Patience(**found)


@cache
def the_patience() -> Patience:
    """The settings this process was started with."""
    return patience()


def number_in(variable: str, written: str, *, zero: bool = False) -> float:
    """The number a setting holds. Raises ValueError where it is none, or not above 0."""
    try:
        number = float(written)
    except ValueError:
        number = -1.0
    if not (0 < number < float("inf") or (zero and number == 0)):
        raise ValueError(f"{variable} must be a number above 0, not {written[:40]!r}")
    return number


def raise_file_limit() -> int:
    """Let this process open as many files as it may, within reason; how many that is."""
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    wanted = MOST_FILES if hard == resource.RLIM_INFINITY else min(hard, MOST_FILES)
    if soft != resource.RLIM_INFINITY and soft < wanted:
        try:
            resource.setrlimit(resource.RLIMIT_NOFILE, (wanted, hard))
        except (ValueError, OSError):
            return soft
        return wanted
    return MOST_FILES if soft == resource.RLIM_INFINITY else soft


def most_connections(limits: Patience, files: int) -> int:
    """Connections to hold at once so that accepting never runs out of file handles, of which there are `files`."""
    room = max(files - OWN_FILES - BACKLOG, FEWEST_CONNECTIONS)
    return min(int(limits.connections) or MOST_CONNECTIONS, room)


def proxies() -> tuple[Network, ...]:
    """Networks whose forwarding headers are believed and whose connections are not counted by address.

    Raises ValueError where the setting holds something else than addresses and networks.
    """
    written = os.environ.get(PROXIES_VARIABLE, "")
    try:
        return tuple(ipaddress.ip_network(part.strip(), strict=False) for part in written.split(",") if part.strip())
    except ValueError as error:
        raise ValueError(f"{PROXIES_VARIABLE}: {error}") from None


def origins() -> frozenset[str]:
    """Origins of other pages that may change things here, such as `https://hub.lan`."""
    written = os.environ.get(ORIGINS_VARIABLE, "")
    return frozenset(part.strip().rstrip("/").lower() for part in written.split(",") if part.strip())
