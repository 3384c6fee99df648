"""How near the goal is changes what is worth doing, not what the core does until then."""

from __future__ import annotations

from typing import Any

import pytest

from tests.coherence.case import Case

AS_OF = "2026-01-18T18:00:00+00:00"


def _case(until: str, **more: Any) -> Case:
    body = {
        "as_of": AS_OF,
        "goal": {"until": until},
        "pile": {"age": 70, "size": {"volume": "18 m3"}},
        "temperatures": {"core": 48, "outdoor": -2},
        "draw": {"water": {"flow": 3, "inlet": 20, "outlet": 32}},
    }
    return Case({**body, **more})


@pytest.mark.parametrize("until", ["2026-01-19", "2026-01-20"])
def test_the_core_of_tomorrow_is_the_same_however_near_the_goal(until: str) -> None:
    near, far = (_case(each).full["outlook"]["core"]["median"] for each in (until, "2026-02-17"))
    assert near[1] == pytest.approx(far[1], abs=1.0)


def test_what_is_drawn_is_looked_at_while_days_are_left() -> None:
    assert _case("2026-01-19").none["look_again"]["at"] == "2026-01-19T18:00:00+00:00"
    assert _case("2026-02-17").none["look_again"]["at"] == "2026-01-21T18:00:00+00:00"


def test_nobody_waits_three_days_for_a_step_with_one_left() -> None:
    small = {"water": {"flow": 2, "inlet": 25, "outlet": 32, "minutes_per_hour": 5, "hours_per_day": 24}}
    heap = {"age": 25, "size": {"volume": "60 m3"}, "ingredients": [{"material": "horse_manure", "amount": "60 m3"}]}
    for until, waits in (("2026-01-19", False), ("2026-02-17", True)):
        answer = _case(until, pile=heap, temperatures={"core": 62, "outdoor": 0}, draw=small).none
        raised = next(each for each in answer["actions"] if each["action"] == "raise_draw")
        assert any("three days" in step for step in raised["steps"]) is waits
