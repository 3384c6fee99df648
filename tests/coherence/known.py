"""Laws that are not held yet: how often each may be broken, by measurement. Numbers here may only fall.

A law that is not named here is held: no breach at all, but for the rate that the law itself allows.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Final

QUICK: Final = (1, 1000)
FULL: Final = (2, 100)
"""Seed and count of the everyday runs, without and with what-ifs, which the ceilings are counted on."""

_KNOWN: Final = tomllib.loads((Path(__file__).parent / "known.toml").read_text())


def ceiling(name: str, *, full: bool, count: int, rate: float) -> int:
    """How many of `count` statuses may break a law: by its ceiling, scaled from the everyday run, or by its rate."""
    usual = FULL[1] if full else QUICK[1]
    known = _KNOWN["full" if full else "none"].get(name, 0)
    return max(round(known * max(count / usual, 1.0) * (1.0 if count == usual else 1.3)), int(rate * count))
