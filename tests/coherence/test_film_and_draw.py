"""As more and more is drawn, drawing less comes up once in the order and stays there: it does not flip to and fro."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

from service.answer.advice import advise
from service.answer.shapes.part import WhatIfs
from service.status.reading import read_status
from tests.each import each

MINUTES = (0, 3, 6, 10, 15, 20, 30, 45, 60)
LESS = ("reduce_draw", "pause_draw")
WRAPS = ("cover_with_clear_film", "insulate")


def place_of_drawing_less(volume: float, core: float, minutes: int, effects: WhatIfs) -> int:
    """0 where drawing less is not advised, 1 where it comes after every cover, 2 where it comes before."""
    water = {"flow": 3, "inlet": 8, "outlet": 24, "minutes_per_hour": minutes, "hours_per_day": 24, "loop": "closed"}
    status: dict[str, Any] = {
        "as_of": "2026-01-18T08:00:00Z",
        "season": "heating",
        "pile": {"age": 45, "size": {"volume": volume}, "cover": "none", "wind": "exposed"},
        "temperatures": {"core": core, "outdoor": -3},
        "weather": {"low": -7, "wind_speed": 6},
        "moisture_feel": "damp",
        "moisture_feel_at": "arm_deep",
        "draw": {"water": water},
    }
    named = [action["action"] for action in advise(read_status(status), effects)["actions"]]
    less = next((place for place, name in enumerate(named) if name in LESS), None)
    if less is None:
        return 0
    return 1 if any(name in WRAPS for name in named[:less]) else 2


@each([(6.0, 45.0), (12.0, 50.0), (25.0, 56.0)], ["none", "full"], every=3)
def test_the_order_of_film_and_of_drawing_less_does_not_flip(volume: float, core: float, effects: WhatIfs) -> None:
    places = [place_of_drawing_less(volume, core, minutes, effects) for minutes in MINUTES]
    assert all(before <= after for before, after in pairwise(places)), dict(zip(MINUTES, places, strict=True))
    assert places[0] == 0 and places[-1] > 0
