"""How many connections are open, and whose: none may take the file handles of the service's own work."""

from __future__ import annotations

from collections.abc import Sequence

from service.operation.peers import Shares, counted_as, peer_address
from service.operation.settings import Network


class Doors:
    """Counts connections, all together and by peer."""

    def __init__(self, most: int, per_peer: int, uncounted: Sequence[Network] = ()) -> None:
        self._shares = Shares(most, per_peer)
        self._uncounted = tuple(uncounted)

    @property
    def inside(self) -> int:
        """How many are open."""
        return self._shares.held

    def enter(self, host: str | None) -> str | None:
        """Let one in: the name it is counted under, to be given back to `leave`; None where it must stay out.

        The name is empty where it is counted only with all others: proxies and this machine.
        """
        address = peer_address(host)
        is_aside = address is None or address.is_loopback or any(address in each for each in self._uncounted)
        peer = "" if is_aside else counted_as(host)
        return peer if self._shares.take((peer,) if peer else ()) else None

    def leave(self, peer: str) -> None:
        """One that was let in has gone."""
        self._shares.give_back((peer,) if peer else ())
