"""What the heat model makes of cases for which something was published or is told."""

from __future__ import annotations

from functools import cache

import numpy as np

from service.heat.physics import air_duct, decay, water_loop
from service.heat.physics.arrays import Array
from service.heat.physics.daily_weather import DailyWeather
from service.heat.physics.fittings import DUCT_SPREAD, LOOP_INNER_SPREAD, LOOP_OUTER_SPREAD
from service.heat.physics.kernel import Run, simulate
from service.heat.physics.members import LIFETIME_ENVIRONMENT, NITROGEN_SPREAD, RATE_SPREAD, members, weather_now
from service.heat.physics.piles import dry_matter
from service.heat.physics.season_draw import RECOVERABLE
from service.heat.physics.spread import points
from service.units.estimate import Estimate, PileEstimate, WaterDraw
from tests.physics.samples import about, estimate

SHORT_TON_KG = 907.2
N = 128
SHARE_SPREAD = 0.25
MIXES = {
    # fast and slow share of the dry matter, carbon that can rot to nitrogen, moisture
    "chips": (0.05, 0.38, 75.0, 0.47),
    "75 chips : 25 horse manure": (0.08, 0.38, 44.0, 0.50),
    "50 chips : 30 manure : 20 grass": (0.181, 0.364, 28.0, 0.55),
}


def heap(mix: str, kg: float, *, core: float, outdoor: float, age: float = 0.0, **changes: object) -> PileEstimate:
    """A heap of a mix, its size well known, at 360 kg/m3."""
    fast, slow, ratio, moisture = MIXES[mix]
    return estimate(
        age_days=age,
        mass_kg=about(kg, 1.1),
        volume_m3=about(kg / 360.0, 1.1),
        moisture=Estimate(moisture, moisture - 0.04, moisture + 0.04, "derived"),
        fast_share=about(fast, 1.35),
        slow_share=about(slow, 1.2),
        cn_degradable=about(ratio, 1.3),
        core_c=Estimate(core, core - 1.0, core + 1.0, "measured"),
        outer_c=core if age == 0.0 else None,
        outdoor_c=Estimate(outdoor, outdoor - 2.0, outdoor + 2.0, "measured"),
        **changes,
    )


def recovered_kj_kg(mix: str, days: float) -> Array:
    """Heat led off per kilogram of dry matter at a lifetime mean of warmth, water and air, (512,). [kJ/kg]"""
    n = 512
    fast, slow, ratio, _ = MIXES[mix]
    pace = days * float(decay.nitrogen_factor(ratio)) * points("environment", n).between(*LIFETIME_ENVIRONMENT)
    pace = pace * points("rate", n).factor(RATE_SPREAD) * points("nitrogen", n).factor(NITROGEN_SPREAD)
    rotted = fast * points("fast", n).factor(SHARE_SPREAD) * -np.expm1(-decay.FAST_PER_DAY * pace)
    rotted = rotted + slow * points("slow", n).factor(SHARE_SPREAD) * -np.expm1(-decay.SLOW_PER_DAY * pace)
    result: Array = decay.HEAT_PER_DRY_MATTER * rotted * points("recoverable", n).between(*RECOVERABLE) / 1e3
    return result


def tonnes_for(kilowatts: float) -> Array:
    """Dry matter of chips that gives so much as a mean over a year. [t]"""
    result: Array = kilowatts * 365.0 * 86_400.0 / recovered_kj_kg("chips", 365.0) / 1e3
    return result


def seasons(first_day: int, days: int, mean_c: float, half_range_k: float) -> Array:
    """Mean air of each day, from a day of the year on. [degC]"""
    day = np.arange(days + 1) + first_day
    result: Array = mean_c - half_range_k * np.cos(2.0 * np.pi * (day - 20) / 365.25)
    return result


@cache
def stored_chips_loss(day: int) -> Array:
    """Dry matter lost from a 30 t heap of chips alone, stored from April in a mild climate, (64,). [%]"""
    piles, state, _ = members(heap("chips", 30_000.0, core=15.0, outdoor=8.0))
    weather = DailyWeather.of(seasons(90, day, 8.0, 10.0), sun_w_m2=100.0, ground_c=8.0)
    run = simulate(piles, state, weather, float(day), 24.0)
    result: Array = 100.0 * (1.0 - dry_matter(piles, run.state).sum(axis=0) / piles.dry_kg)
    return result


@cache
def frozen_chips() -> Run:
    """Spruce chips, 6 m wide and high, built cold in February at Fairbanks: 620 days. Ice is left out of the model."""
    piles, state, _ = members(heap("chips", 59_000.0, core=-8.0, outdoor=-18.0), N)
    weather = DailyWeather.of(seasons(40, 640, -3.0, 20.0), sun_w_m2=90.0, ground_c=0.0)
    return simulate(piles, state, weather, 620.0, 24.0)


def days_to(celsius: float, mix: str, tons: float) -> Array:
    """Days a new heap takes from 15 degC in air of 10 degC; 99 where it is not there in three weeks."""
    of = heap(mix, tons * SHORT_TON_KG, core=15.0, outdoor=10.0)
    piles, state, _ = members(of, N)
    run = simulate(piles, state, weather_now(of, N), 21.0, 12.0)
    there = run.core_c >= celsius
    return np.where(there.any(axis=0), run.days[there.argmax(axis=0)], 99.0)


def duct_outlet_f(core_c: float, cubic_feet_min: float) -> Array:
    """Air out of a closed duct in 10 m3 of material at this temperature, inlet 10 degC. [degF]"""
    conductance = air_duct.default_conductance(10.0, False) * points("duct", N).factor(DUCT_SPREAD)
    _, capacity = air_duct.capacity_flow(cubic_feet_min * 0.3048**3 / 60.0, 10.0)
    outlet = 10.0 + air_duct.effectiveness(conductance, capacity) * (core_c - 10.0)
    result: Array = 1.8 * outlet + 32.0
    return result


def hose_outlet_f(core_c: float, gallons_min: float) -> Array:
    """Water out of 30 m of buried hose that has run for hours, inlet 10 degC. [degF]"""
    inner, outer = water_loop.default_conductances("plastic", 30.0)
    inner, outer = (
        inner * points("loop_inner", N).factor(LOOP_INNER_SPREAD),
        outer * points("loop_outer", N).factor(LOOP_OUTER_SPREAD),
    )
    flow = gallons_min * 3.785412 / 60.0
    running = water_loop.running_conductance(flow, inner, outer, 1.0)
    result: Array = 1.8 * (10.0 + running / (water_loop.WATER_HEAT * flow) * (core_c - 10.0)) + 32.0
    return result


@cache
def quarter_hours_of_water(mix: str, tube: str) -> Run:
    """A fresh 2-ton heap at 60 degC, half a gallon a minute for a quarter of each hour through 100 ft, 30 days."""
    loop = WaterDraw(0.5 * 3.785412 / 60.0, 0.25, 1.0, 10.0, None, tube, 30.48)  # type: ignore[arg-type]
    of = heap(mix, 2.0 * SHORT_TON_KG, core=60.0, outdoor=8.0, age=4.0, water=loop, has_water_loop=True)
    piles, state, _ = members(of, N)
    return simulate(piles, state, weather_now(of, N), 30.0, 12.0)


def latent_share(inlet_c: float, outlet_c: float) -> float:
    """Latent share of the heat of air drawn through the material."""
    sensible, latent, _ = air_duct.heat_taken(0.03, inlet_c, outlet_c, True)
    return float(latent / (sensible + latent))
