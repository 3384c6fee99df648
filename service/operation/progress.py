"""Whether a peer keeps up: it may pause, but not creep."""

from __future__ import annotations

from service.operation.settings import Patience
from service.problems.problem import Problem


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


class Pace:
    """What is asked of a peer: no pause that is too long, and no creeping that goes on for long."""

    __slots__ = ("_credits", "_limits")

    def __init__(self, limits: Patience, slack_s: float = 0.0) -> None:
        self._limits = limits
        self._credits = (
            Progress(limits.pause_s + slack_s, limits.least_rate),
            Progress(limits.steady_s + slack_s, limits.steady_rate),
        )

    @property
    def left_s(self) -> float:
        """How long to wait for the peer now [s]."""
        return min(each.left_s for each in self._credits)

    def moved(self, size: int, waited_s: float) -> bool:
        """Count `size` bytes that moved while `waited_s` went by; whether the peer still keeps up."""
        first, second = (each.moved(size, waited_s) for each in self._credits)
        return first and second

    def refusal(self) -> Problem:
        """What is said to a peer whose body did not keep up."""
        known = self._limits
        asked = f"{known.least_rate:,.0f} bytes a second over {known.pause_s:.0f} s"
        steady = f"{known.steady_rate:,.0f} over {known.steady_s:.0f} s"
        return Problem("body-too-slow", f"The body came too slowly: {asked} and {steady} are asked for.")
