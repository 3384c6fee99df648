"""How often one token may ask: so many requests in each span of time, counted in this process."""

from __future__ import annotations

import math
import time
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

SPAN_S: Final = 60
DEFAULT_QUOTA: Final = 600
MOST_PEERS: Final = 10_000
"""Addresses that sent wrong tokens and are remembered."""
MOST_HELD_S: Final = 30.0


@dataclass(frozen=True, slots=True)
class Ruling:
    """Whether a request may pass, how many are left, and the seconds until all are free again."""

    passes: bool
    quota: int
    left: int
    resets_in_s: int

    def headers(self) -> dict[str, str]:
        """The fields of the IETF draft on rate limits; Retry-After where it may not pass."""
        fields = {
            "ratelimit-policy": f'"token";q={self.quota};w={SPAN_S}',
            "ratelimit": f'"token";r={self.left};t={self.resets_in_s}',
        }
        return fields if self.passes else {**fields, "retry-after": str(self.resets_in_s)}


class WrongTokens:
    """How long to hold back the refusal of a wrong token, by the address it came from.

    A few are free, for people mistype; then one is refused a second, however many come at once.
    """

    def __init__(self, free: int = 5, each_s: float = 1.0, clock: Callable[[], float] = time.monotonic) -> None:
        self._free_s = free * each_s
        self._each_s = each_s
        self._clock = clock
        self._next: OrderedDict[str, float] = OrderedDict()

    def wait_s(self, peer: str) -> float:
        """Count one wrong token; seconds until it may be answered."""
        now = self._clock()
        turn = max(self._next.pop(peer, -math.inf), now - self._free_s + self._each_s)
        wait = max(turn - now, 0.0)
        self._next[peer] = turn + self._each_s if wait <= MOST_HELD_S else turn
        if len(self._next) > MOST_PEERS:
            self._next.popitem(last=False)
        return wait


class RateLimit:
    """Counts the requests of each token. Only good tokens are counted, so there are never more than tokens."""

    def __init__(self, quota: int = DEFAULT_QUOTA, clock: Callable[[], float] = time.monotonic) -> None:
        self._quota = quota
        self._clock = clock
        self._spans: dict[str, tuple[float, int]] = {}

    def ask(self, token_id: str) -> Ruling:
        """Count one request of a token."""
        now = self._clock()
        start, count = self._spans.get(token_id, (now, 0))
        if now - start >= SPAN_S:
            start, count = now, 0
        passes = count < self._quota
        count += passes
        self._spans[token_id] = (start, count)
        return Ruling(passes, self._quota, self._quota - count, max(math.ceil(start + SPAN_S - now), 1))
