"""A measured outlet close to the core is counted as read, by itself, among many, now and ahead."""

from __future__ import annotations

import numpy as np
import pytest

from service.answer.advice import advise
from service.picture.picture import learned_picture, picture_of
from service.status.reading import read_status
from tests.each import each

HEAP = {
    "as_of": "2026-01-18T07:30:00Z",
    "pile": {"age": 20, "size": {"mass": "10 t"}, "ingredients": [{"material": "wood_chips"}]},
    "temperatures": {"core": 57, "outdoor": 0},
}
AIR = {
    "flow": "100 m3/h",
    "inlet": 0,
    "outlet": 55,
    "path": "through_heap",
    "minutes_per_hour": 60,
    "hours_per_day": 24,
}
WATER = {"flow": "2 L/min", "inlet": 10, "outlet": 55, "minutes_per_hour": 60, "hours_per_day": 24}
LOG = [{"at": f"2026-01-{day}T07:30:00Z", "core": 57} for day in range(11, 18)]

# Saturated air of 55 degC holds 115 g/kg (ASHRAE Handbook - Fundamentals 2017, ch. 1, from memory): with 0.036 kg/s of
# dry air 2.0 kW sensible and 10.4 kW latent. Water: 2/60 kg/s x 4.19 kJ/(kg K) x 45 K = 6.3 kW.
CASES = [
    ({"equipment": ["air_duct"], "draw": {"air": AIR}}, 12.4e3),
    ({"equipment": ["water_loop"], "draw": {"water": WATER}}, 6.28e3),
]


@each(CASES)
def test_a_read_outlet_is_counted_as_read(draw, watts):
    status = read_status({**HEAP, **draw})
    asked = picture_of(status).accounts.asked
    assert asked is not None and asked.value == pytest.approx(watts, rel=0.03)
    assert asked.high <= 1.1 * asked.low


@each(CASES)
def test_so_it_is_with_a_log(draw, watts):
    status = read_status({**HEAP, **draw, "history": LOG})
    asked = learned_picture(status).accounts.asked
    assert asked is not None and asked.value == pytest.approx(watts, rel=0.03)


def test_a_lukewarm_outlet_is_counted_as_before():
    status = read_status({**HEAP, "equipment": ["water_loop"], "draw": {"water": WATER | {"outlet": 25}}})
    asked = picture_of(status).accounts.asked
    assert asked is not None and asked.value == pytest.approx(2 / 60 * 4186 * 15, rel=0.02)


def test_an_outlet_that_cannot_be_is_doubted_aloud():
    answer = advise(
        read_status({**HEAP, "equipment": ["water_loop"], "draw": {"water": WATER | {"outlet": 62}}}), effects="none"
    )
    assert any("not in it" in reason["text"] for action in answer["actions"] for reason in action["reasons"])
    assert np.isfinite(answer["heat_balance"]["drawn"]["water"]["value"])
