"""What a grower of a winter does with a plan."""

from __future__ import annotations

from typing import Any

import pytest

from rules.catalogue import said

from .lives import LEFT_AS_IT_IS, Drawing, _by_plan
from .policies import POLICIES

TIMER: dict[str, Any] = {"by": "timer", "start_at": 36, "stop_at": 32, "minutes_per_hour": 12, "hours_per_day": 24}


@pytest.mark.parametrize(
    ("text", "start_c"),
    [("held-as-now", 55.0), ("held-no-more", 55.0), ("held-set", -99.0)],
)
@pytest.mark.parametrize("device", ["pump", "fan"])
def test_who_is_told_to_leave_all_as_it_is_leaves_the_thermostat_too(device: str, text: str, start_c: float) -> None:
    """A timer's minutes with nothing that stops it at a core are another setting."""
    drawing = Drawing.of(1, POLICIES["thermostat"])
    words = said(f"plan.{text}", device=device, minutes="12 min/h", set_hours="24 h/day")
    assert words.startswith(LEFT_AS_IT_IS) is (text != "held-set")
    _by_plan(drawing, 0, {**TIMER, "hours": "all", "text": words})
    assert drawing.start_c[0] == start_c
