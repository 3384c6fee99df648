"""Surfaces, covers and the draught."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.heat.physics import losses
from tests.each import each


def test_wind_film_near_the_engineering_rule():
    # McAdams and Juerges (from memory): 5.7 + 3.8 v, 20.9 at 4 m/s; ours adds 4.5 of long wave
    assert float(losses.surface_film(4.0)) - 4.5 == pytest.approx(20.9, rel=0.03)
    with pytest.raises(ValueError, match="wind"):
        losses.surface_film(-1.0)


@given(st.floats(0, 15), st.floats(0.1, 5), st.floats(0, 2))
def test_more_wind_conducts_more_and_a_cover_less(wind, more, resistance):
    leg, area = np.array(60.0), np.array(30.0)
    calm = losses.surface_conductance(leg, losses.surface_film(wind), np.array(0.0), area)
    windy = losses.surface_conductance(leg, losses.surface_film(wind + more), np.array(0.0), area)
    covered = losses.surface_conductance(leg, losses.surface_film(wind), np.array(resistance), area)
    assert windy > calm >= covered


def test_sun_under_clear_film_warms_more_than_on_top_of_a_tarp():
    film = losses.surface_film(2.0)
    clear, tarp = losses.COVERS["clear_film"], losses.COVERS["tarp"]
    lifts = [
        float(
            losses.sun_lift(
                np.array(100.0), film, np.array(c.resistance), np.array(c.sun_beneath), np.array(c.sun_on_top)
            )
        )
        for c in (clear, tarp)
    ]
    assert lifts[0] > lifts[1] > 0.0


def test_draught_of_a_nine_ton_heap_is_of_the_order_of_a_gram_a_second():
    # rho^2 g K A / (mu T) times 50 K (derived)
    per_kelvin = losses.draught_coefficient(np.array(3e-10), np.array(18.0), np.array(1.0))
    assert 50.0 * float(per_kelvin) == pytest.approx(7.06e-4, rel=0.01)


# Free air space by the handbook form with 95 % organic matter (from memory): 400 kg/m3 at 55 % .670,
# 600 at 60 % .493, 700 at 65 % .395
@each([(400, 0.55, 0.670), (600, 0.60, 0.493), (700, 0.65, 0.395)])
def test_free_air_space(bulk, moisture, want):
    own = losses.air_space(np.array(bulk * (1 - moisture)), np.array(bulk * moisture), np.array(1.0))
    assert float(own) == pytest.approx(want, abs=0.015)
