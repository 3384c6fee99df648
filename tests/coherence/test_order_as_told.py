"""Moves stand in the order of the effects that are told, those of a draw by its plan among them."""

from __future__ import annotations

import pytest

from tests.coherence.case import Body, Case, moves
from tests.coherence.laws import LAWS

AS_OF = "2026-07-08T21:30:00+00:00"
WET_SEAWEED: Body = {
    "as_of": AS_OF,
    "pile": {
        "age": 10,
        "size": {"mass": 12910},
        "ingredients": [{"material": "wood_chips_green", "share": 2}, {"material": "seaweed", "share": 4}],
        "cover": "none",
    },
    "temperatures": {"core": 47.8, "outer": 33.3},
    "moisture_feel": "soggy",
    "signs": ["water_in_duct", "wet_skin_dry_core"],
    "equipment": ["air_duct", "water_loop"],
    "history": [{"at": "2026-07-07T21:30:00+00:00", "core": 48.3}, {"at": "2026-07-07T09:30:00+00:00", "core": 48.5}],
}
STUCK_IN_FROST: Body = {
    "as_of": "2026-12-28T10:30:00+00:00",
    "pile": {"age": 17, "ingredients": [{"material": "wood_chips", "amount": "4.8 m3", "moisture": 35}]},
    "draw": {"air": {"inlet_from": "greenhouse", "outlet_to": "greenhouse", "inlet": 4.3, "hours_per_day": 6}},
    "greenhouse": {"volume": 179},
    "weather": {"low": -6.5, "forecast": [{"date": "2026-12-30", "low": -17.6, "high": -5.5}]},
    "history": [
        {"at": f"2026-12-{day}T10:30:00+00:00", "core": 52.4, "moisture_feel": feel}
        for day, feel in ((27, "damp"), (26, "dusty"), (25, "wet"), (24, "wet"), (23, "soggy"))
    ],
}


@pytest.mark.parametrize("body", [WET_SEAWEED, STUCK_IN_FROST])
def test_what_clearly_gains_as_told_stands_above_what_does_not(body: Body) -> None:
    case = Case(body)
    assert next(LAWS["loser-above-a-clear-gain"].check(case, case.full), None) is None, moves(case.full)
