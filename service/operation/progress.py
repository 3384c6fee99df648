"""Whether a peer keeps up: it may pause, but not creep."""

from __future__ import annotations


class Progress:
    """A peer's credit in seconds: waiting for it costs, each byte it moves earns, and it never holds more than a pause.

    So nobody waits longer than `pause_s` for anything, and a byte now and then does not help: what moves must move at
    `least_rate` bytes/s on the mean.
    """

    __slots__ = ("_credit_s", "_least_rate", "_pause_s")

    def __init__(self, pause_s: float, least_rate: float) -> None:
        self._pause_s = pause_s
        self._least_rate = least_rate
        self._credit_s = pause_s

    @property
    def left_s(self) -> float:
        """How long to wait for the peer now [s]."""
        return self._credit_s

    def moved(self, size: int, waited_s: float) -> bool:
        """Count `size` bytes that moved while `waited_s` went by; whether the peer still has credit."""
        self._credit_s = min(self._credit_s - waited_s + size / self._least_rate, self._pause_s)
        return self._credit_s > 0
