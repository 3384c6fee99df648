"""The laws, by theme. Importing this package puts all of them into `LAWS`."""

from __future__ import annotations

from tests.coherence.law import LAWS, Law
from tests.coherence.laws import (
    asking,
    cautions,
    doses,
    draws,
    effects,
    judged,
    numbers,
    order,
    pairs,
    plan_heat,
    plans,
    words,
)

__all__ = [
    "LAWS",
    "Law",
    "asking",
    "cautions",
    "doses",
    "draws",
    "effects",
    "judged",
    "numbers",
    "order",
    "pairs",
    "plan_heat",
    "plans",
    "words",
]
