"""Heaps for the tests: ordinary ones as people report them, and wild ones to break the arithmetic. Seeds are fixed."""

from __future__ import annotations

import numpy as np

from service.heat.physics.daily_weather import DailyWeather
from service.heat.physics.losses import COVERS
from service.heat.physics.members import members
from service.heat.physics.piles import Piles, PileState, joined, with_cover
from service.units.estimate import AirDraw, Estimate, PileEstimate, WaterDraw


def about(value: float, factor: float) -> Estimate:
    """A value known within a factor."""
    return Estimate(value, value / factor, value * factor, "derived")


def estimate(**changes: object) -> PileEstimate:
    """A 9-short-ton heap of three parts chips to one of horse manure, two months old, bare, in light frost."""
    given: dict[str, object] = {
        "age_days": 60.0,
        "mass_kg": about(8165.0, 1.2),
        "volume_m3": about(23.0, 1.15),
        "moisture": Estimate(0.52, 0.46, 0.58, "derived"),
        "fast_share": about(0.09, 1.35),
        "slow_share": about(0.38, 1.2),
        "cn_degradable": about(44.0, 1.4),
        "heating_value_j_kg": 19.0e6,
        "core_c": Estimate(55.0, 54.0, 56.0, "measured"),
        "outer_c": None,
        "outdoor_c": Estimate(-2.0, -3.0, -1.0, "measured"),
        "wind_m_s": about(2.5, 1.6),
        "cover": "none",
        "air": None,
        "water": None,
        "has_air_duct": None,
        "has_water_loop": None,
    }
    return PileEstimate(**{**given, **changes})  # type: ignore[arg-type]


def ordinary_estimate(rng: np.random.Generator) -> PileEstimate:
    """A heap of 1.3 to 16 tonnes, 3 days to 7 months old, with any cover and draw of ordinary strength."""
    fast, slow, ratio = [(0.05, 0.38, 75.0), (0.09, 0.38, 44.0), (0.18, 0.364, 28.0)][rng.integers(3)]
    mass = float(np.exp(rng.uniform(np.log(1300), np.log(16000))))
    moisture, core, outdoor = rng.uniform(0.42, 0.64), rng.uniform(20, 68), rng.uniform(-10, 10)
    water = WaterDraw(rng.uniform(0.01, 0.08), rng.uniform(0.05, 0.5), 1.0, 8.0, None, "plastic", rng.uniform(20, 60))
    path = ("closed_duct", "through_heap")[rng.integers(2)]
    air = AirDraw(rng.uniform(0.005, 0.04), rng.uniform(0.1, 0.6), 1.0, path, 8.0, None)  # type: ignore[arg-type]
    return estimate(
        age_days=float(np.exp(rng.uniform(np.log(3), np.log(210)))),
        mass_kg=about(mass, 1.2),
        volume_m3=about(mass / rng.uniform(320, 480), 1.15),
        moisture=Estimate(moisture, moisture - 0.05, moisture + 0.05, "derived"),
        fast_share=about(fast, 1.35),
        slow_share=about(slow, 1.2),
        cn_degradable=about(ratio, 1.4),
        core_c=Estimate(core, core - 1, core + 1, "measured"),
        outdoor_c=Estimate(outdoor, outdoor - 1, outdoor + 1, "measured"),
        cover=list(COVERS)[rng.integers(len(COVERS))],
        air=air if rng.random() < 0.35 else None,
        water=water if rng.random() < 0.35 else None,
    )


def ordinary(count: int, seed: int, each: int = 4) -> tuple[Piles, PileState]:
    """Members of so many ordinary estimates, side by side: count * each piles."""
    rng = np.random.default_rng(seed)
    parts = [members(ordinary_estimate(rng), each)[:2] for _ in range(count)]
    return joined([piles for piles, _ in parts]), joined([state for _, state in parts])


def winter(days: int, seed: int, mean_c: float = -2.0) -> DailyWeather:
    """A winter month with warm and cold spells and a little rain."""
    rng = np.random.default_rng(seed)
    spells = np.convolve(rng.normal(0.0, 6.0, days + 4), np.ones(5) / 5**0.5, mode="valid")
    return DailyWeather.of(mean_c + spells, rng.uniform(0.5, 6, days), rain_mm_day=rng.exponential(1.0, days))


def _log_uniform(rng: np.random.Generator, low: float, high: float, n: int) -> np.ndarray:
    return 10.0 ** rng.uniform(low, high, n)


def wild(n: int, seed: int, days: int = 60) -> tuple[Piles, PileState, DailyWeather]:
    """Piles of 0.2 to 30 tonnes with rates off by e, any draw up to 100 kW, and storms: nobody's heap, but possible."""
    rng = np.random.default_rng(seed)
    mass, moisture = _log_uniform(rng, 2.3, 4.5, n), rng.uniform(0.15, 0.75, n)
    dry, fast, slow = mass * (1 - moisture), rng.uniform(0.0, 0.4, n), rng.uniform(0.1, 0.5, n)
    room = (dry / 1500 + mass * moisture / 1000) / 0.97
    sometimes = rng.random((4, n)) < np.array([[0.5], [0.6], [0.3], [0.3]])
    piles = Piles.of(
        n,
        volume_m3=np.maximum(mass / rng.uniform(120, 900, n), room),
        dry_kg=dry,
        inert_kg=dry * (1 - fast - slow),
        rate=np.exp(rng.normal(0, 1, n)),
        loss=np.exp(rng.normal(0, 0.7, n)),
        nitrogen=rng.uniform(0.25, 1, n),
        conductivity_w_mk=0.2 * np.exp(rng.normal(0, 0.6, n)),
        permeability_m2=3e-10 * np.exp(rng.normal(0, 1.4, n)),
        air_flow_kg_s=_log_uniform(rng, -4, 0.5, n) * sometimes[0],
        air_share=rng.uniform(0, 1, n),
        air_inlet_c=rng.uniform(-25, 40, n),
        air_conductance_w_k=_log_uniform(rng, 0, 4, n),
        air_through_heap=rng.integers(0, 2, n),
        water_flow_kg_s=_log_uniform(rng, -3, 1, n) * sometimes[1],
        water_hour_share=rng.uniform(0, 1, n),
        water_day_share=rng.uniform(0, 1, n),
        water_inlet_c=rng.uniform(0, 30, n),
        loop_inner_w_k=_log_uniform(rng, 0, 4, n),
        loop_outer_w_k=_log_uniform(rng, 0, 4, n),
        fixed_draw_w=_log_uniform(rng, 1, 5, n) * sometimes[2],
        draw_from_day=rng.uniform(0, 20, n) * sometimes[3],
    )
    fifth = n // 5
    blocks = [slice(k * fifth, (k + 1) * fifth if k < 4 else n) for k in range(5)]
    piles = joined([with_cover(piles.take(block), name) for block, name in zip(blocks, COVERS, strict=True)])
    weather = DailyWeather.of(
        np.clip(rng.normal(0, 15, (days, n)), -40, 40),
        rng.uniform(0, 20, (days, n)),
        sun_w_m2=rng.uniform(0, 300, (days, n)),
        rain_mm_day=_log_uniform(rng, -2, 2, days * n).reshape(days, n),
    )
    state = PileState.of(piles, rng.uniform(-10, 80, (4, n)), dry * fast, dry * slow, mass * moisture)
    return piles, state, weather
