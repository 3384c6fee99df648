"""What holds a heap back, on heaps where it is known."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.heat.learning.limits import WANTS, limit_shares
from service.heat.physics.members import members, weather_now
from service.units.estimate import Estimate, PileEstimate, WaterDraw
from tests.each import each
from tests.physics.samples import about, estimate, ordinary_estimate

STRONG_DRAW = WaterDraw(0.06, 0.8, 1.0, 8.0, None, "copper", 40.0)


def shares(of: PileEstimate) -> dict[str, float]:
    piles, state, weights = members(of)
    return dict(limit_shares(piles, state, weather_now(of), weights))


def at(core: float) -> Estimate:
    return Estimate(core, core - 1.0, core + 1.0, "measured")


def wet(moisture: float) -> Estimate:
    return Estimate(moisture, moisture - 0.03, moisture + 0.03, "measured")


FED = about(26.0, 1.2)  # carbon that can rot to nitrogen: enough nitrogen (Cornell: about 30)


@each(
    [
        # Cornell, moisture: rot virtually stops below 30 %
        ("water", estimate(moisture=wet(0.33), cn_degradable=FED, age_days=25.0, core_c=at(45.0))),
        # Cornell, C/N: too little nitrogen does not heat
        ("nitrogen", estimate(cn_degradable=about(95.0, 1.2), moisture=wet(0.57), age_days=20.0)),
        # Richard, Inadequate Porosity: water fills the pores that air needs
        ("air", estimate(moisture=wet(0.70), cn_degradable=FED, fast_share=about(0.2, 1.2), age_days=12.0)),
        ("draw", estimate(water=STRONG_DRAW, has_water_loop=True, cn_degradable=FED, age_days=25.0)),
        # chilled through, yet of the age and make-up of a heap in its prime
        ("cold", estimate(core_c=at(12.0), age_days=10.0, cn_degradable=FED, moisture=wet(0.57))),
        # a wheelbarrow in deep frost cannot keep warm whatever is in it (common practice, no source)
        ("cold", estimate(mass_kg=about(150.0, 1.1), volume_m3=about(0.4, 1.1), outdoor_c=at(-20.0), core_c=at(20.0))),
        ("substrate", estimate(age_days=700.0, core_c=at(20.0), cn_degradable=FED, moisture=wet(0.57))),
    ]
)
def test_the_want_is_found(want, heap):
    found = shares(heap)
    assert max(found, key=found.__getitem__) == want
    assert found[want] > 0.5


def test_nothing_is_drawn_from_a_heap_without_a_draw():
    assert shares(estimate())["draw"] == 0.0


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10_000))
def test_shares_sum_to_one(seed):
    found = shares(ordinary_estimate(np.random.default_rng(seed)))
    assert set(found) == set(WANTS)
    assert sum(found.values()) == pytest.approx(1.0)
    assert min(found.values()) >= 0.0


def test_weights_count():
    heap = replace(estimate(), moisture=Estimate(0.45, 0.30, 0.60, "derived"))
    piles, state, weights = members(heap)
    moisture = state.water_kg.sum(axis=0) / (state.water_kg.sum(axis=0) + piles.dry_kg)
    dry = limit_shares(piles, state, weather_now(heap), weights * (moisture < 0.42))
    damp = limit_shares(piles, state, weather_now(heap), weights * (moisture > 0.52))
    assert dry["water"] > 0.6 > damp["water"]
