"""How many connections are open, and whose: none may take the file handles of the service's own work."""

from __future__ import annotations

import ipaddress
from collections import Counter
from collections.abc import Sequence

from service.operation.settings import Network


class Doors:
    """Counts connections, all together and by peer."""

    def __init__(self, most: int, per_peer: int, uncounted: Sequence[Network] = ()) -> None:
        self.most = most
        self._per_peer = per_peer
        self._uncounted = tuple(uncounted)
        self._by_peer: Counter[str] = Counter()
        self.inside = 0
        self.refused = 0

    def enter(self, host: str | None) -> str | None:
        """Let one in: the name it is counted under, to be given back to `leave`; None where it must stay out."""
        peer = self._peer(host)
        if self.inside >= self.most or (peer and self._by_peer[peer] >= self._per_peer):
            self.refused += 1
            return None
        self.inside += 1
        if peer:
            self._by_peer[peer] += 1
        return peer

    def leave(self, peer: str) -> None:
        """One that was let in has gone."""
        self.inside -= 1
        if peer:
            self._by_peer[peer] -= 1
            if not self._by_peer[peer]:
                del self._by_peer[peer]

    def _peer(self, host: str | None) -> str:
        """What an address is counted under; empty where it is counted only with all others."""
        try:
            address = ipaddress.ip_address((host or "").partition("%")[0])
        except ValueError:
            return ""
        address = getattr(address, "ipv4_mapped", None) or address
        if address.is_loopback or any(address in network for network in self._uncounted):
            return ""
        if address.version == 6:  # whoever has one address of IPv6 has the whole /64
            return str(ipaddress.ip_network((address, 64), strict=False))
        return str(address)
