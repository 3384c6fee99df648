"""What a law is."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final, Literal

from tests.coherence.case import Answer, Case

Check = Callable[[Case, Answer], Iterator[str]]
Needs = Literal["any", "full", "pair"]
"""Whether a law reads any answer, one with what-ifs, or both kinds of the same status."""


@dataclass(frozen=True)
class Law:
    """A law by name: what it forbids, and `check`, which yields a complaint for each breach.

    `rate` is the share of statuses that may break it: above 0 only where a class can be made rare and no more.
    """

    name: str
    forbids: str
    needs: Needs
    check: Check
    rate: float = 0.0


LAWS: Final[dict[str, Law]] = {}


def law(forbids: str, needs: Needs = "any", rate: float = 0.0) -> Callable[[Check], Check]:
    """Put a check among the laws, under its own name."""

    def put(check: Check) -> Check:
        name = check.__name__.replace("_", "-")
        assert name not in LAWS, name
        LAWS[name] = Law(name, forbids, needs, check, rate)
        return check

    return put
