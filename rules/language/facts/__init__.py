"""Every fact a condition may name: its unit, what it means, and which fields of the status it comes from.

Use it as `from rules import facts as f` and write `f.core_c < 40`. Units are SI-like: degC, delta_degC (a difference),
K/day, W, kg, m3, m, %, days, hours, m/s, min/h, m3/h, L/min, and 1 for pure numbers. A fact that repeats a field of the
status names it (`field`) and needs nothing more. All others are worked out by the service;
a missing one is unknown.
"""

from __future__ import annotations

from typing import Final

from rules.language.conditions import Fact
from rules.language.facts.declaration import ALL
from rules.language.facts.drawing import *  # noqa: F403 (a condition reads every fact as `f.name`)
from rules.language.facts.heap import *  # noqa: F403
from rules.language.facts.people import *  # noqa: F403
from rules.language.facts.surroundings import *  # noqa: F403
from rules.language.vocabulary import SIGNS

DECLARED: Final = dict(ALL)


def __getattr__(name: str) -> Fact:
    """The fact of a sign, which stands in its record alone (`words.toml`): a rule that reads `f.flies` gets it here."""
    if name not in SIGNS:
        raise AttributeError(f"no fact {name}: declare it here, or put a sign of that id into words.toml")
    return ALL[name]
