"""The model's own kin: spherical shells with nodes of heat and water, three pools, as in `tests.forecasting.truth`."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from tests.forecasting import truth as shells
from tests.forecasting.truth_flows import (
    CENTRES,
    ENTHALPY,
    LOOP_SHARES,
    OXYGEN,
    SLOW,
    VOLUME_SHARES,
    WATER,
    WATER_HEAT,
    Air,
    capacity,
    dry_matter,
)
from tests.forecasting.truth_piles import Piles
from tests.forecasting.truth_weather import humidity_ratio

from ..heaps import COVERS, Heaps
from ..weather import Hour

Array = NDArray[np.float64]

# Resistance m2 K/W, vapour that drips back, draught left, sun absorbed, rain let in.
BARE = (0.0, 0.0, 1.0, 0.7, 1.0)
FILM, ROOF, WRAP_RESISTANCE, WRAP_DRAUGHT = (0.17, 0.5, 0.4, 0.6, 0.0), (0.08, 0.3, 0.8, 0.1, 0.05), 1.0, 0.75
VENTED_DRAUGHT = 0.75
POOLS = np.array([[0.035, 0.09, 0.36], [0.13, 0.22, 0.27]])  # sugars, cellulose, wood: chips, manure
RATES = (0.30, 0.060, 0.011)  # per day, by pool
WATER_KEPT, FEED_REACH = (0.55, 0.9), (0.4, 0.8)


class Kin:
    """Shells, as `Truth` says."""

    def __init__(self, heaps: Heaps) -> None:
        self.heaps = heaps
        self.fed_kg = np.zeros(heaps.count)
        self.piles = _piles(heaps)
        self.own_nitrogen = heaps.spread(105, 0.25)
        self._set_nitrogen()
        self.kept = heaps.between(106, *WATER_KEPT)
        self.reach = heaps.between(107, *FEED_REACH)
        names = np.array(COVERS)[heaps.cover.astype(int)]
        nothing = np.zeros(heaps.count)
        self.cover(1.0 * (names == "clear_film"), 1.0 * (names == "straw"), 1.0 * (names == "tarp"), nothing)
        self.state = shells.start(self.piles)

    def hour(self, weather: Hour, duty: Array) -> Array:
        """Live an hour; the heat drawn. [J]"""
        air = Air(
            air_c=weather.air_c,
            wind_m_s=weather.wind_m_s,
            sun_w_m2=weather.sun_w_m2,
            sky_loss_w_m2=weather.sky_w_m2,
            rain_kg_m2_s=weather.rain_kg_m2_s,
            vapour=0.8 * humidity_ratio(weather.air_c, 1.0),
            ground_c=weather.ground_c,
            duty=duty,
            pace=np.ones_like(duty),
        )
        self.state, crossing = shells.advance(self.piles, self.state, air, 3600.0)
        return crossing[3]

    def _celsius(self) -> Array:
        return self.state[ENTHALPY] / capacity(self.piles, self.state)

    def core_c(self) -> Array:
        """What a well placed probe reads."""
        return (shells._CORE * self._celsius()).sum(axis=0)

    def outer_c(self) -> Array:
        """Some 20 cm below the skin."""
        return shells._at_depth(self._celsius(), 0.2 / self._radius())

    def _radius(self) -> Array:
        return 0.465 * np.cbrt(self.heaps.volume_m3 * self.volume_share())

    def material_c(self) -> Array:
        """About the loop."""
        return (LOOP_SHARES * self._celsius()).sum(axis=0)

    def arm_moisture(self) -> Array:
        """Half a metre deep."""
        wetness = shells._at_depth(self.state[WATER] / dry_matter(self.piles, self.state), 0.5 / self._radius())
        return wetness / (1.0 + wetness)

    def mean_moisture(self) -> Array:
        """Of the whole heap."""
        water = self.state[WATER].sum(axis=0)
        return water / (water + dry_matter(self.piles, self.state).sum(axis=0))

    def oxygen(self) -> Array:
        """In the core."""
        return (shells._CORE * self.state[OXYGEN]).sum(axis=0)

    def volume_share(self) -> Array:
        """Of the volume when built."""
        return np.minimum(dry_matter(self.piles, self.state).sum(axis=0) / self.heaps.dry_kg, 1.2)

    def add_water(self, kg: Array) -> None:
        """More of it stays near the skin than in the middle."""
        where = VOLUME_SHARES * (0.5 + CENTRES[:, None])
        added = self.kept * kg * where / where.sum()
        self.state[WATER] += added
        self.state[ENTHALPY] += WATER_HEAT * added * 10.0

    def feed(self, nitrogen_kg: Array) -> None:
        """By the carbon it is there for."""
        self.fed_kg = self.fed_kg + self.reach * nitrogen_kg
        self._set_nitrogen()

    def _set_nitrogen(self) -> None:
        carbon = 0.47 * self.piles.pools.sum(axis=0)
        need = carbon / (self.heaps.nitrogen_kg + self.fed_kg) / 42.0
        factor = np.minimum(1.0, 1.15 / (1.0 + need**1.3) * self.own_nitrogen)
        self.piles = replace(self.piles, nitrogen_factor=factor)

    def cover(self, film: Array, wrap: Array, roof: Array, vented: Array) -> None:
        """Film over roof over nothing, a wrap about any of them."""
        names = ("cover_resistance", "vapour_returned", "draught_left", "sun_absorbed", "rain_let_in")
        values = {
            name: np.where(film > 0, FILM[place], np.where(roof > 0, ROOF[place], BARE[place]))
            for place, name in enumerate(names)
        }
        values["draught_left"] = np.where(vented * film > 0, VENTED_DRAUGHT, values["draught_left"])
        values["cover_resistance"] = values["cover_resistance"] + WRAP_RESISTANCE * wrap
        values["draught_left"] = values["draught_left"] * np.where(wrap > 0, WRAP_DRAUGHT, 1.0)
        values["sun_absorbed"] = np.where((wrap > 0) & (film == 0), 0.1, values["sun_absorbed"])
        values["rain_let_in"] = values["rain_let_in"] * np.where(wrap > 0, 0.7, 1.0)
        self.piles = replace(self.piles, **values)

    def loosen(self, heaps: NDArray[np.bool_]) -> None:
        """More air, a quarter of the warmth lost, and mixed throughout."""
        mixed = self.state.sum(axis=1, keepdims=True) * VOLUME_SHARES
        for row in (ENTHALPY, *range(1, SLOW + 1), WATER):
            self.state[row][:, heaps] = mixed[row][:, heaps]
        self.state[ENTHALPY][:, heaps] *= 0.75
        open_up = np.where(heaps, 1.5, 1.0)
        self.piles = replace(self.piles, permeability_m2=self.piles.permeability_m2 * open_up)

    def bulk(self, dry_chips_m3: Array) -> None:
        """Dry chips: inert to begin with, they take up water and open the heap."""
        kg = 200.0 * dry_chips_m3
        share = dry_chips_m3 / self.piles.volume_m3
        self.state[WATER] += 0.2 * kg * VOLUME_SHARES
        self.piles = replace(
            self.piles,
            dry_kg=self.piles.dry_kg + kg,
            volume_m3=self.piles.volume_m3 + dry_chips_m3,
            permeability_m2=self.piles.permeability_m2 * (1.0 + 2.0 * share),
        )
        self.state[ENTHALPY] *= 1.0 - 0.2 * np.minimum(share * 4.0, 1.0)


def _piles(heaps: Heaps) -> Piles:
    manure, n = heaps.manure_share, heaps.count
    pools = (POOLS[0][:, None] * (1.0 - manure) + POOLS[1][:, None] * manure) * heaps.dry_kg
    rates = [rate * heaps.spread(100 + place, 0.45) for place, rate in enumerate(RATES)]
    best = heaps.between(110, 51.0, 59.0)
    blank = dict.fromkeys(("loop_from_day", "loop_change_day", "loop_duty", "loop_duty_later"), np.zeros(n))
    return Piles(
        volume_m3=heaps.volume_m3,
        dry_kg=heaps.dry_kg,
        pools=pools,
        moisture=heaps.moisture,
        start_c=np.maximum(heaps.annual_mean_c, 3.0) + heaps.between(111, 3.0, 12.0),
        foot_aspect=heaps.between(112, 0.65, 1.1),
        rates_per_s=np.array(rates) / 86_400.0,
        exhaustion=heaps.between(113, 0.2, 1.6),
        nitrogen_factor=np.ones(n),
        haug_like=1.0 * (heaps.between(114, 0.0, 1.0) < 0.5),
        warm_base=heaps.between(115, 1.057, 1.070),
        hot_base=heaps.between(116, 1.19, 1.24),
        shift_k=heaps.between(117, -14.0, -7.0),
        coldest_c=heaps.between(118, -6.0, 0.0),
        best_c=best,
        hottest_c=best + heaps.between(119, 9.0, 16.0),
        thirst=0.7 * heaps.spread(120, 0.2),
        half_oxygen=0.1 * heaps.spread(121, 0.5),
        activity_start=heaps.between(122, 0.15, 0.7),
        growth_per_s=heaps.spread(123, 0.4) / 86_400.0,
        conductivity_w_mk=0.15 * heaps.spread(124, 0.3),
        conductivity_slope=heaps.between(125, 0.002, 0.006),
        permeability_m2=3.0e-10 * heaps.spread(126, 0.8),
        bypass=heaps.between(127, 0.8, 1.4),
        vapour_enhancement=1.25 * heaps.spread(128, 0.4),
        surface_factor=heaps.spread(129, 0.2),
        wind_factor=np.ones(n),
        cover=heaps.cover,
        cover_resistance=np.zeros(n),
        vapour_returned=np.zeros(n),
        draught_left=np.ones(n),
        sun_absorbed=np.ones(n),
        rain_let_in=np.ones(n),
        loop_flow_w_k=heaps.carrier_w_k,
        loop_ua_w_k=heaps.carrier_ua_w_k,
        loop_inlet_c=heaps.night_target_c + 4.0,
        **blank,
    )
