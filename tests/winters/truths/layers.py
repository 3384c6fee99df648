"""A layered truth: a flat-topped heap in level layers, cold air in at the foot, warm damp air out at the top.

Two pools by the square-root rule of growth with an upper end, water as a ramp, nitrogen as a saturating function of the
nitrogen to the carbon that is left, oxygen used up on the way. Explicit half hours.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from ..heaps import COVERS, Heaps
from ..weather import Hour
from .common import AIR_HEAT, BURNING_HEAT, DRY_HEAT, LATENT, WATER_HEAT, humidity

Array = NDArray[np.float64]

LAYERS: Final = 9
STEP_S: Final = 1800.0
MIDDLE: Final = slice(3, 7)
EASY_SHARE: Final = (0.10, 0.32)  # of the dry matter, chips and manure
TOUGH_SHARE: Final = (0.36, 0.28)
EASY_PER_S, TOUGH_PER_S = 0.058 / 86_400.0, 0.014 / 86_400.0
DRIEST, WET_ENOUGH, DROWNING, DROWNED = 0.24, 0.54, 0.66, 0.80  # of the wet mass
N_HALF: Final = 1.0 / 45.0  # nitrogen to degradable carbon at half of the most
N_MOST: Final = 2.0
MOST_WATER: Final = 2.5  # kg/kg
OXYGEN_HALF: Final = 0.08
HOTTEST_STEP_K: Final = 3.0


class Layers:
    """Layers from the foot up, as `Truth` says."""

    def __init__(self, heaps: Heaps) -> None:
        n, shares = heaps.count, np.ones((LAYERS, 1)) / LAYERS
        self.heaps = heaps
        self.height = 0.72 * np.cbrt(heaps.volume_m3) * heaps.spread(200, 0.12)
        self.area = heaps.volume_m3 / self.height
        dry, manure = heaps.dry_kg, heaps.manure_share
        self.easy = shares * dry * (EASY_SHARE[0] * (1 - manure) + EASY_SHARE[1] * manure)
        self.tough = shares * dry * (TOUGH_SHARE[0] * (1 - manure) + TOUGH_SHARE[1] * manure)
        self.inert = shares * dry - self.easy - self.tough
        self.nitrogen = shares * heaps.nitrogen_kg * 0.75
        self.water = shares * dry * heaps.moisture / (1.0 - heaps.moisture)
        self.celsius = np.zeros((LAYERS, n)) + np.maximum(heaps.annual_mean_c, 3.0) + heaps.between(201, 3.0, 12.0)
        self.air = np.ones((LAYERS, n))
        self.rate = np.stack([heaps.spread(202, 0.45), heaps.spread(203, 0.5)])
        self.hottest = heaps.between(204, 70.0, 79.0)
        self.perm = 0.6e-9 * heaps.spread(205, 0.7)
        self.conductivity = 0.24 * heaps.spread(206, 0.25)
        self.kept, self.reach = heaps.between(207, 0.5, 0.9), heaps.between(208, 0.4, 0.8)
        self.inlet = heaps.night_target_c + 4.0
        eff = 1.0 - np.exp(-heaps.carrier_ua_w_k / heaps.carrier_w_k)
        self.carrier = heaps.carrier_w_k * eff
        names = np.array(COVERS)[heaps.cover.astype(int)]
        self.cover(1.0 * (names == "clear_film"), 1.0 * (names == "straw"), 1.0 * (names == "tarp"), np.zeros(n))

    def hour(self, weather: Hour, duty: Array) -> Array:
        """Two half hours; the heat drawn. [J]"""
        return self._step(weather, duty) + self._step(weather, duty)

    def _dry(self) -> Array:
        return self.inert + self.easy + self.tough

    def _step(self, w: Hour, duty: Array) -> Array:
        dry = self._dry()
        heat_capacity = DRY_HEAT * dry + WATER_HEAT * self.water
        draught = self._draught(w)
        burnt = self._burn(dry, draught)
        drawn = np.zeros_like(self.celsius)
        pull = duty * self.carrier * (self.celsius[MIDDLE] - self.inlet) / (MIDDLE.stop - MIDDLE.start)
        drawn[MIDDLE] = np.maximum(pull, -0.2 * np.abs(pull))
        gain = BURNING_HEAT * burnt - drawn - self._conducted(w)
        gain += self._carried(w, draught)
        self._rain_and_drain(w)
        move = np.clip(STEP_S * gain / heat_capacity, -HOTTEST_STEP_K, HOTTEST_STEP_K)
        self.celsius = self.celsius + move
        return STEP_S * drawn.sum(axis=0)

    def _draught(self, w: Hour) -> Array:
        """Air up through the heap. [kg/s]"""
        dry = self._dry().sum(axis=0)
        pores = np.clip(1.0 - (dry / 1500.0 + self.water.sum(axis=0) / 1000.0) / (self.area * self.height), 0.05, 0.8)
        warmer = np.maximum(self.celsius.mean(axis=0) - w.air_c, 0.0)
        darcy = self.perm * (pores / 0.45) ** 3 * 1.2 * 9.81 / 1.8e-5 * warmer / 300.0
        return 1.2 * np.minimum((darcy + 0.8e-5 * w.wind_m_s) * self.left, 8e-4) * self.area

    def _burn(self, dry: Array, draught: Array) -> Array:
        """Dry matter burnt. [kg/s]"""
        t = np.clip(self.celsius, 1.0, self.hottest)
        speed = ((t - 1.0) * -np.expm1(0.22 * (t - self.hottest))) ** 2
        best = self.hottest - 14.5
        speed = speed / ((best - 1.0) * -np.expm1(0.22 * (best - self.hottest))) ** 2
        moisture = self.water / (self.water + dry)
        wet = np.clip((moisture - DRIEST) / (WET_ENOUGH - DRIEST), 0.0, 1.0) ** 1.3
        wet = wet * np.clip((DROWNED - moisture) / (DROWNED - DROWNING), 0.0, 1.0)
        ratio = self.nitrogen / (0.47 * (self.easy + self.tough) + 1e-9)
        fed = np.minimum(1.0, N_MOST * ratio / (ratio + N_HALF) / 1.0 - 0.0)
        common = speed * wet * np.minimum(fed, 1.0) * self.air / (self.air + OXYGEN_HALF) * (1.0 + OXYGEN_HALF)
        easy = EASY_PER_S * self.rate[0] * self.easy * common
        tough = TOUGH_PER_S * self.rate[1] * self.tough * common
        self._breathe(easy + tough, draught)
        self.easy = self.easy - STEP_S * easy
        self.tough = self.tough - STEP_S * tough
        self.water = self.water + 0.55 * STEP_S * (easy + tough)
        fumes = np.where((self.celsius > 58.0) & (ratio > 1.0 / 22.0), 0.02 / 86_400.0, 0.0)
        self.nitrogen = self.nitrogen * (1.0 - STEP_S * fumes)
        return easy + tough

    def _breathe(self, burnt: Array, draught: Array) -> None:
        """Oxygen by layer over that of fresh air, settled on the way up."""
        below = np.ones_like(draught)
        through = 0.232 * draught
        sideways = 0.232 * 1.2e-5 * self.left * 4.0 * np.sqrt(self.area) * self.height / LAYERS
        for layer in range(LAYERS):
            use = 1.25 * burnt[layer] / np.maximum(self.air[layer], 0.02)
            below = (through * below + sideways) / (through + sideways + use + 1e-12)
            self.air[layer] = 0.5 * self.air[layer] + 0.5 * below

    def _conducted(self, w: Hour) -> Array:
        """Heat that leaves each layer by conduction. [W]"""
        dz = self.height / LAYERS
        out = np.zeros_like(self.celsius)
        between = self.conductivity * self.area / dz * (self.celsius[:-1] - self.celsius[1:])
        out[:-1] += between
        out[1:] -= between
        film = 1.0 / (8.0 + 4.0 * w.wind_m_s) + self.resistance
        half = 0.5 * np.sqrt(self.area)
        side = 4.0 * np.sqrt(self.area) * dz / (half / (2.6 * self.conductivity) + film)
        out += side * (self.celsius - w.air_c)
        top = self.area / (0.5 * dz / self.conductivity + film)
        skin = 1.0 / (8.0 + 4.0 * w.wind_m_s)
        lift = self.sun * w.sun_w_m2 * np.where(self.clear > 0, film, skin) - w.sky_w_m2 * skin
        out[-1] += top * (self.celsius[-1] - w.air_c - lift)
        out[0] += self.area / (0.5 * dz / self.conductivity + 0.5) * (self.celsius[0] - w.ground_c)
        return out

    def _carried(self, w: Hour, draught: Array) -> Array:
        """Heat that rising air brings each layer, by warmth and vapour. [W]"""
        dry = self._dry()
        damp = humidity(self.celsius) * np.minimum(self.water / (0.35 * dry), 1.0)
        below = np.concatenate([w.air_c[None], self.celsius[:-1]])
        damp_below = np.concatenate([(0.8 * humidity(w.air_c))[None], damp[:-1]])
        off = draught * (damp - damp_below)
        off = np.minimum(off, 0.2 * self.water / STEP_S)
        back = np.zeros_like(off)
        back[-1] = self.returned * np.maximum(draught * (damp[-1] - damp_below[0]), 0.0)
        self.water = np.maximum(self.water + STEP_S * (back - off), 0.02 * dry)
        return draught * AIR_HEAT * (below - self.celsius) - LATENT * off

    def _rain_and_drain(self, w: Hour) -> None:
        self.water[-1] += STEP_S * 0.8 * self.area * self.rain * w.rain_kg_m2_s
        over = np.maximum(self.water - MOST_WATER * self._dry(), 0.0) * (STEP_S / 43_200.0)
        self.water = self.water - over
        self.water[:-1] += over[1:]

    def core_c(self) -> Array:
        """The warmest of the middle."""
        return self.celsius[2:-1].max(axis=0)

    def outer_c(self) -> Array:
        """In the top."""
        return 0.6 * self.celsius[-1] + 0.4 * self.celsius[-2]

    def material_c(self) -> Array:
        """About the pipe."""
        return self.celsius[MIDDLE].mean(axis=0)

    def arm_moisture(self) -> Array:
        """Half a metre under the top."""
        place = np.clip(LAYERS - 1 - (0.5 / (self.height / LAYERS)).astype(int), 0, LAYERS - 1)
        columns = np.arange(self.heaps.count)
        water, dry = self.water[place, columns], self._dry()[place, columns]
        return water / (water + dry)

    def mean_moisture(self) -> Array:
        """Of all layers."""
        water = self.water.sum(axis=0)
        return water / (water + self._dry().sum(axis=0))

    def oxygen(self) -> Array:
        """In the middle."""
        return self.air[MIDDLE].min(axis=0)

    def volume_share(self) -> Array:
        """By the dry matter left."""
        return self._dry().sum(axis=0) / self.heaps.dry_kg

    def add_water(self, kg: Array) -> None:
        """It goes down from the top, less to each layer."""
        where = np.linspace(0.6, 1.4, LAYERS)[:, None] / LAYERS
        added = where * kg * self.kept
        heat_capacity = DRY_HEAT * self._dry() + WATER_HEAT * self.water
        self.celsius = self.celsius + WATER_HEAT * added * (10.0 - self.celsius) / (heat_capacity + WATER_HEAT * added)
        self.water = self.water + added

    def feed(self, nitrogen_kg: Array) -> None:
        """More of it in the upper half."""
        where = np.linspace(0.5, 1.5, LAYERS)[:, None] / LAYERS
        self.nitrogen = self.nitrogen + where * self.reach * nitrogen_kg

    def cover(self, film: Array, wrap: Array, roof: Array, vented: Array) -> None:
        """Resistances add; the most closed decides on the draught."""
        self.resistance = 0.15 * film + 0.07 * roof + 1.1 * wrap
        self.left = np.where(film > 0, np.where(vented > 0, 0.8, 0.45), np.where(roof > 0, 0.85, 1.0))
        self.left = self.left * np.where(wrap > 0, 0.7, 1.0)
        self.returned = np.where(film > 0, 0.5, 0.2 * roof)
        self.clear = film
        self.rain = np.where(film > 0, 0.0, np.where(roof > 0, 0.05, 1.0 - 0.3 * wrap))
        self.sun = np.where(film > 0, 0.6, np.where(wrap > 0, 0.15, 0.7))

    def loosen(self, heaps: NDArray[np.bool_]) -> None:
        """Mixed throughout, a quarter of the warmth over 5 degC lost, more open."""
        for name in ("easy", "tough", "inert", "nitrogen", "water", "celsius"):
            values = getattr(self, name)
            values[:, heaps] = values.mean(axis=0)[heaps]
        self.celsius[:, heaps] = 5.0 + 0.75 * (self.celsius[:, heaps] - 5.0)
        self.perm = self.perm * np.where(heaps, 1.4, 1.0)

    def bulk(self, dry_chips_m3: Array) -> None:
        """Dry chips through all layers."""
        kg = 200.0 * dry_chips_m3 / LAYERS
        share = dry_chips_m3 / (self.area * self.height)
        self.tough = self.tough + 0.3 * kg
        self.inert = self.inert + 0.7 * kg
        self.water = self.water + 0.2 * kg
        self.nitrogen = self.nitrogen + 0.001 * kg
        self.height = self.height * (1.0 + share)
        self.perm = self.perm * (1.0 + 1.5 * share)
        self.celsius = self.celsius * (1.0 - 0.5 * np.minimum(share, 0.4))
