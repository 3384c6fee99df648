"""Statuses that the tests of the outlook share."""

from __future__ import annotations

from typing import Any

from service.status.models import Status
from service.status.reading import read_status

Body = dict[str, Any]
SMALLEST: Body = {"as_of": "2026-01-18T07:30:00Z", "pile": {"age": 20}, "temperatures": {"core": 45}}
STEADY: Body = {
    "as_of": "2026-01-18T07:30:00Z",
    "season": "heating",
    "goal": {"keep_core_above": 40},
    "pile": {
        "age": 25,
        "size": {"volume": "16 m3"},
        "ingredients": [{"material": "wood_chips", "amount": 3000}, {"material": "horse_manure", "amount": 1500}],
        "cover": "straw",
        "moisture": 55,
    },
    "temperatures": {"core": 57, "outer": 44, "outdoor": -2},
    "equipment": ["water_loop"],
    "draw": {"water": {"flow": 2, "minutes_per_hour": 5, "tube": "plastic", "tube_length": 50, "inlet": 10}},
    "weather": {
        "low": -6,
        "forecast": [{"date": "2026-01-18", "low": -6, "high": 0}, {"date": "2026-01-19", "low": -12, "high": -4}],
    },
}


def status_of(body: Body, **changed: Any) -> Status:
    """The status of a body with some of its parts changed."""
    return read_status({**body, **changed})
