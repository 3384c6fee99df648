"""Under which name an address is counted, and how many things one of them may hold at once of what all share."""

from __future__ import annotations

import ipaddress
from collections import Counter
from collections.abc import Collection

Address = ipaddress.IPv4Address | ipaddress.IPv6Address


def peer_address(host: str | None) -> Address | None:
    """The address that is written there, that of IPv4 where it is one in the coat of IPv6; None where it is none."""
    try:
        address = ipaddress.ip_address((host or "").partition("%")[0])
    except ValueError:
        return None
    return getattr(address, "ipv4_mapped", None) or address


def counted_as(host: str | None) -> str:
    """The name an address is counted under; empty where it is none.

    Whoever has one address of IPv6 has the whole /64.
    """
    address = peer_address(host)
    if address is None:
        return ""
    if address.version == 6 and not address.is_loopback:
        return str(ipaddress.ip_network((address, 64), strict=False))
    return str(address)


class Shares:
    """`most` of something, of which no one holder has more than `each`."""

    def __init__(self, most: int, each: int) -> None:
        self.most = most
        self.each = each
        self.held = 0
        self._by_holder: Counter[str] = Counter()

    def spent_by(self, holders: Collection[str]) -> str:
        """Whose share is spent, and how many that is, in words; empty where none is."""
        if any(self._by_holder[holder] >= self.each for holder in holders):
            return f"All {self.each} that one may have at once of {self.most}"
        return f"All {self.most}" if self.held >= self.most else ""

    def take(self, holders: Collection[str]) -> bool:
        """Take one for these holders together, such as an account and an address; whether there was one for them."""
        if self.spent_by(holders):
            return False
        self.held += 1
        self._by_holder.update(holders)
        return True

    def give_back(self, holders: Collection[str]) -> None:
        """Give back one that was taken for these holders."""
        self.held -= 1
        self._by_holder.subtract(holders)
        for holder in holders:
            if not self._by_holder[holder]:
                del self._by_holder[holder]
