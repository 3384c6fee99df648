"""Whatever passes validation must give finite numbers, all the way from estimate to forecast."""

import numpy as np

from service.heat.physics.balance import balance_now
from service.heat.physics.kernel import simulate
from service.heat.physics.ledger import energy
from service.heat.physics.members import members, weather_now
from service.units.estimate import AirDraw, Estimate, WaterDraw
from tests.each import each

from .samples import about, estimate

exact = Estimate.exact
ODD = {
    "a fire": {"core_c": exact(400.0), "outer_c": 300.0},
    "arctic": {"core_c": exact(-40.0), "outdoor_c": exact(-50.0)},
    "built today": {"age_days": 0.0},
    "built long ago": {"age_days": 5000.0},
    "a swamp": {"moisture": Estimate(0.93, 0.85, 0.97, "derived")},
    "a tinder box": {"moisture": Estimate(0.03, 0.0, 0.05, "derived")},
    "nothing to rot": {"fast_share": exact(0.0), "slow_share": exact(0.0)},
    "all of it to rot": {"fast_share": about(0.6, 1.5), "slow_share": about(0.6, 1.5)},
    "fittings that stand still": {
        "water": WaterDraw(0.0, 0.0, 1.0, None, None, None, None),
        "air": AirDraw(0.0, 0.0, 1.0, "through_heap", None, None),
    },
    "outlets colder than inlets": {
        "water": WaterDraw(0.03, 1.0, 1.0, 8.0, 3.0, "copper", 10.0),
        "air": AirDraw(0.03, 1.0, 1.0, "closed_duct", 30.0, 20.0),
    },
    "outlets warmer than the core": {
        "water": WaterDraw(0.03, 1.0, 1.0, 8.0, 62.0, "copper", 10.0),
        "air": AirDraw(0.03, 1.0, 1.0, "through_heap", 10.0, 62.0),
    },
    "a draw that freezes it": {
        "water": WaterDraw(3.0, 1.0, 1.0, 2.0, None, "copper", 500.0),
        "air": AirDraw(2.0, 1.0, 1.0, "through_heap", -10.0, None),
    },
    "a bucketful": {"mass_kg": about(20.0, 3.0), "volume_m3": about(0.05, 3.0)},
    "a mountain": {"mass_kg": about(5e5, 3.0), "volume_m3": about(1500.0, 3.0)},
    "as warm as the air": {"core_c": exact(5.0), "outdoor_c": exact(5.0)},
    "a heat wave": {"outdoor_c": exact(45.0)},
    "no wind at all": {"wind_m_s": exact(0.0)},
}


@each(ODD)
def test_odd_reports_give_finite_numbers(name):
    report = estimate(**ODD[name])
    piles, state, _ = members(report, 32)
    weather = weather_now(report, 32)
    assert all(np.isfinite(value).all() for value in balance_now(report).values())
    own = energy([report], piles, state, weather, days=30.0, keep_core_above_c=40.0)[0]
    assert (own.total_j > 0.0).all()
    assert (own.season_draw_w >= 0.0).all()
    assert own.burst_draw_w is None or (own.burst_draw_w >= 0.0).all()
    run = simulate(piles, state, weather, 30.0)
    assert np.isfinite(run.core_c).all()
    assert run.core_c[1:].min() > -60.0
