"""A two-dimensional truth: rings and levels of an upright heap, air in at the foot, and microbes that must grow.

What is eaten is set by the microbes there are (Contois for the easy matter, saturation for the tough); they grow on it,
die of heat and with time, and their number is bounded by nitrogen. Explicit half hours, upwind air.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from ..heaps import COVERS, Heaps
from ..weather import Hour
from .common import AIR_HEAT, BURNING_HEAT, DRY_HEAT, LATENT, WATER_HEAT, humidity

Array = NDArray[np.float64]

RINGS, LEVELS = 5, 6
STEP_S: Final = 1800.0
DAY_S: Final = 86_400.0
_EDGES = np.arange(RINGS + 1) / RINGS
RING_SHARES: Final = np.diff(_EDGES**2)[:, None, None]
SHARES: Final = RING_SHARES * np.ones((1, LEVELS, 1)) / LEVELS
PIPE: Final = (
    SHARES * (np.arange(RINGS)[:, None, None] < 4) * ((np.arange(LEVELS) > 0) & (np.arange(LEVELS) < 5))[None, :, None]
)
PIPE_SHARES: Final = PIPE / PIPE.sum()

EASY_SHARE: Final = (0.11, 0.34)
TOUGH_SHARE: Final = (0.36, 0.28)
UPTAKE_PER_S: Final = 3.2 / DAY_S  # easy matter by a kilogram of microbes at best
CONTOIS: Final = 4.0
TOUGH_PER_S: Final = 0.016 / DAY_S
TOUGH_HALF: Final = 0.012  # microbes to dry matter at which half of the most is eaten of the tough
YIELD: Final = 0.22
DEATH_PER_S: Final = 0.05 / DAY_S
N_OF_MICROBES: Final = 0.09
SEED_SHARE: Final = (0.0006, 0.003)
THIRST: Final = 0.72  # kg/kg at half
OXYGEN_HALF: Final = 0.06
MOST_WATER: Final = 2.6
MOST_MOVE_K: Final = 3.0


class Plane:
    """Rings and levels, (rings, levels, n), as `Truth` says; level 0 is the foot, ring 0 the axis."""

    def __init__(self, heaps: Heaps) -> None:
        n, dry, manure = heaps.count, heaps.dry_kg, heaps.manure_share
        self.heaps = heaps
        slender = heaps.between(300, 0.8, 1.2)
        self.radius = np.cbrt(heaps.volume_m3 / (np.pi * slender))
        self.height = slender * self.radius
        self.easy = SHARES * dry * (EASY_SHARE[0] * (1 - manure) + EASY_SHARE[1] * manure)
        self.tough = SHARES * dry * (TOUGH_SHARE[0] * (1 - manure) + TOUGH_SHARE[1] * manure)
        self.inert = SHARES * dry - self.easy - self.tough
        self.nitrogen = SHARES * heaps.nitrogen_kg
        self.microbes = SHARES * dry * heaps.between(301, *SEED_SHARE)
        self.water = SHARES * dry * heaps.moisture / (1.0 - heaps.moisture)
        self.celsius = (
            np.zeros((RINGS, LEVELS, n)) + np.maximum(heaps.annual_mean_c, 3.0) + heaps.between(302, 3.0, 12.0)
        )
        self.air = np.ones((RINGS, LEVELS, n))
        self.rate, self.tough_rate = heaps.spread(303, 0.35), heaps.spread(304, 0.45)
        self.hottest, self.best = heaps.between(305, 69.0, 78.0), heaps.between(306, 52.0, 59.0)
        self.perm = 0.9e-9 * heaps.spread(307, 0.7)
        self.conductivity = 0.24 * heaps.spread(308, 0.25)
        self.free_nitrogen = heaps.between(309, 0.45, 0.75)
        self.kept, self.reach = heaps.between(310, 0.5, 0.9), heaps.between(311, 0.4, 0.8)
        self.inlet = heaps.night_target_c + 4.0
        self.carrier = heaps.carrier_w_k * -np.expm1(-heaps.carrier_ua_w_k / heaps.carrier_w_k)
        names = np.array(COVERS)[heaps.cover.astype(int)]
        self.cover(1.0 * (names == "clear_film"), 1.0 * (names == "straw"), 1.0 * (names == "tarp"), np.zeros(n))

    def hour(self, weather: Hour, duty: Array) -> Array:
        """Two half hours; the heat drawn. [J]"""
        return self._step(weather, duty) + self._step(weather, duty)

    def _dry(self) -> Array:
        return self.inert + self.easy + self.tough + self.microbes

    def _step(self, w: Hour, duty: Array) -> Array:
        dry = self._dry()
        heat_capacity = DRY_HEAT * dry + WATER_HEAT * self.water
        rise = self._rise(w)
        burnt = self._live(dry, rise)
        pull = duty * self.carrier * (self.celsius - self.inlet)
        drawn = np.maximum(pull, -0.2 * np.abs(pull)) * PIPE_SHARES
        gain = BURNING_HEAT * burnt - drawn - self._conducted(w) + self._carried(w, rise)
        self._rain_and_drain(w)
        self.celsius = self.celsius + np.clip(STEP_S * gain / heat_capacity, -MOST_MOVE_K, MOST_MOVE_K)
        return STEP_S * drawn.sum(axis=(0, 1))

    def _rise(self, w: Hour) -> Array:
        """Air up each ring's column, drawn in at the foot. [kg/s], (rings, n)"""
        volume = np.pi * self.radius**2 * self.height
        solid = self._dry().sum(axis=(0, 1)) / 1500.0 + self.water.sum(axis=(0, 1)) / 1000.0
        pores = np.clip(1.0 - solid / volume, 0.05, 0.8)
        warmer = np.maximum(self.celsius.mean(axis=1) - w.air_c, 0.0)
        darcy = self.perm * (pores / 0.45) ** 3 * 1.2 * 9.81 / 1.8e-5 * warmer / 300.0
        wind = 1e-5 * w.wind_m_s
        speed = np.minimum((darcy + wind) * self.left, 8e-4)
        return 1.2 * speed * np.pi * self.radius**2 * RING_SHARES[:, 0]

    def _from(self, field: Array, outside: Array, rise: Array) -> Array:
        """What the air that comes into each cell bears of a field, times its flow: from below, or along the foot."""
        inward = np.cumsum(rise, axis=0)  # through the outer face of each foot ring
        brought = np.empty_like(field)
        brought[:, 1:] = rise[:, None] * field[:, :-1]
        brought[:-1, 0] = inward[:-1] * field[1:, 0]
        brought[-1, 0] = inward[-1] * outside
        return brought

    def _through(self, rise: Array) -> Array:
        """Air through each cell. [kg/s]"""
        flow = np.broadcast_to(rise[:, None], self.celsius.shape).copy()
        flow[:, 0] = np.cumsum(rise, axis=0)
        return flow

    def _live(self, dry: Array, rise: Array) -> Array:
        """Eat, grow and die; the dry matter burnt. [kg/s]"""
        t = np.clip(self.celsius, 0.0, self.hottest)
        power = self.best / (self.hottest - self.best)
        warm = (self.hottest - t) / (self.hottest - self.best) * (t / self.best) ** power
        warm = np.where(t < self.best, np.maximum(warm, 0.09 * np.exp(0.04 * (t - 5.0)) * (t > 0.5)), warm)
        warm = np.minimum(warm, 1.0)
        wet = (self.water / dry / THIRST) ** 3
        pace = warm * wet / (1.0 + wet) * self.air * (1.0 + OXYGEN_HALF) / (self.air + OXYGEN_HALF)
        bugs = self.microbes
        easy = UPTAKE_PER_S * self.rate * pace * bugs * self.easy / (CONTOIS * bugs + self.easy + 1e-9)
        tough = TOUGH_PER_S * self.tough_rate * pace * self.tough * bugs / (bugs + TOUGH_HALF * dry)
        eaten = easy + tough
        room = np.clip(1.0 - bugs * N_OF_MICROBES / (self.free_nitrogen * self.nitrogen + 1e-9), 0.0, 1.0)
        grown = YIELD * eaten * room
        died = bugs * (DEATH_PER_S * (0.15 + warm) + np.minimum(2e-6 * np.exp((self.celsius - 70.0) / 2.5), 1e-4))
        self.easy = self.easy + STEP_S * (0.4 * died - easy)
        self.tough = self.tough + STEP_S * (0.4 * died - tough)
        self.inert = self.inert + STEP_S * 0.2 * died
        self.microbes = np.maximum(bugs + STEP_S * (grown - died), 1e-5 * dry)
        burnt = eaten - grown
        self.water = self.water + STEP_S * 0.55 * burnt
        self._breathe(burnt, rise)
        return burnt

    def _breathe(self, burnt: Array, rise: Array) -> None:
        through = 0.232 * self._through(rise)
        brought = 0.232 * self._from(self.air, np.ones_like(self.radius), rise)
        seep = np.zeros_like(self.air)
        ring = 2.0 * np.pi * self.radius * self.height / LEVELS
        seep[-1] = 0.232 * 3e-5 * self.left * ring
        seep += 0.232 * 2e-6 * self.heaps.volume_m3 * SHARES
        use = 1.25 * burnt / np.maximum(self.air, 0.02)
        level = (brought + seep) / (through + seep + use + 1e-12)
        self.air = 0.6 * self.air + 0.4 * np.clip(level, 0.0, 1.0)

    def _conducted(self, w: Hour) -> Array:
        """Heat that leaves each cell by conduction. [W]"""
        dr, dz = self.radius / RINGS, self.height / LEVELS
        out = np.zeros_like(self.celsius)
        faces = 2.0 * np.pi * (_EDGES[1:-1, None, None] * self.radius) * dz
        across = self.conductivity * faces / dr * (self.celsius[:-1] - self.celsius[1:])
        out[:-1] += across
        out[1:] -= across
        floor = np.pi * self.radius**2 * RING_SHARES
        up = self.conductivity * floor / dz * (self.celsius[:, :-1] - self.celsius[:, 1:])
        out[:, :-1] += up
        out[:, 1:] -= up
        film = 1.0 / (8.0 + 4.0 * w.wind_m_s) + self.resistance
        side = 2.0 * np.pi * self.radius * dz / (0.5 * dr / self.conductivity + film)
        out[-1] += side * (self.celsius[-1] - w.air_c)
        skin = 1.0 / (8.0 + 4.0 * w.wind_m_s)
        lift = self.sun * w.sun_w_m2 * np.where(self.clear > 0, film, skin) - w.sky_w_m2 * skin
        top = floor[:, 0] / (0.5 * dz / self.conductivity + film)
        out[:, -1] += top * (self.celsius[:, -1] - w.air_c - lift)
        out[:, 0] += floor[:, 0] / (0.5 * dz / self.conductivity + 0.5) * (self.celsius[:, 0] - w.ground_c)
        return out

    def _carried(self, w: Hour, rise: Array) -> Array:
        """Heat the air brings each cell, by warmth and vapour. [W]"""
        dry, flow = self._dry(), self._through(rise)
        damp = humidity(self.celsius) * np.minimum(self.water / (0.35 * dry), 1.0)
        outside = 0.8 * humidity(w.air_c)
        off = np.minimum(flow * damp - self._from(damp, outside, rise), 0.2 * self.water / STEP_S)
        leaving = np.maximum(rise * (damp[:, -1] - outside), 0.0)
        self.water = self.water - STEP_S * off
        self.water[:, -1] += STEP_S * self.returned * leaving
        self.water = np.maximum(self.water, 0.02 * dry)
        warmth = self._from(self.celsius, w.air_c, rise) - flow * self.celsius
        return AIR_HEAT * warmth - LATENT * off

    def _rain_and_drain(self, w: Hour) -> None:
        caught = 0.8 * np.pi * self.radius**2 * self.rain * w.rain_kg_m2_s
        self.water[:, -1] += STEP_S * caught * RING_SHARES[:, 0]
        over = np.maximum(self.water - MOST_WATER * self._dry(), 0.0) * (STEP_S / 43_200.0)
        self.water = self.water - over
        self.water[:, :-1] += over[:, 1:]

    def core_c(self) -> Array:
        """The warmest of the inner cells."""
        return self.celsius[:3, 1:5].max(axis=(0, 1))

    def outer_c(self) -> Array:
        """Under the skin, half way up."""
        return self.celsius[-1, 2:4].mean(axis=0)

    def material_c(self) -> Array:
        """About the pipe."""
        return (self.celsius * PIPE_SHARES).sum(axis=(0, 1))

    def arm_moisture(self) -> Array:
        """From the side, half a metre in."""
        ring = np.clip(((1.0 - 0.5 / self.radius) * RINGS).astype(int), 0, RINGS - 1)
        columns = np.arange(self.heaps.count)
        water, dry = self.water[:, 3][ring, columns], self._dry()[:, 3][ring, columns]
        return water / (water + dry)

    def mean_moisture(self) -> Array:
        """Of all cells."""
        water = self.water.sum(axis=(0, 1))
        return water / (water + self._dry().sum(axis=(0, 1)))

    def oxygen(self) -> Array:
        """In the middle."""
        return self.air[:3, 2:5].min(axis=(0, 1))

    def volume_share(self) -> Array:
        """By the dry matter left."""
        return self._dry().sum(axis=(0, 1)) / self.heaps.dry_kg

    def add_water(self, kg: Array) -> None:
        """From the top down; the foot gets least."""
        where = SHARES * np.linspace(0.6, 1.4, LEVELS)[None, :, None]
        added = where / where.sum() * kg * self.kept
        heat_capacity = DRY_HEAT * self._dry() + WATER_HEAT * self.water
        self.celsius = self.celsius + WATER_HEAT * added * (10.0 - self.celsius) / (heat_capacity + WATER_HEAT * added)
        self.water = self.water + added

    def feed(self, nitrogen_kg: Array) -> None:
        """As the water that carries it; it is all free."""
        where = SHARES * np.linspace(0.6, 1.4, LEVELS)[None, :, None]
        self.nitrogen = self.nitrogen + where / where.sum() * self.reach * nitrogen_kg / self.free_nitrogen

    def cover(self, film: Array, wrap: Array, roof: Array, vented: Array) -> None:
        """Resistances add; a film that reaches down keeps some of the foot shut."""
        self.resistance = 0.15 * film + 0.07 * roof + 1.1 * wrap
        self.left = np.where(film > 0, np.where(vented > 0, 0.8, 0.5), np.where(roof > 0, 0.9, 1.0))
        self.left = self.left * np.where(wrap > 0, 0.7, 1.0)
        self.returned = np.where(film > 0, 0.5, 0.2 * roof)
        self.clear = film
        self.rain = np.where(film > 0, 0.0, np.where(roof > 0, 0.05, 1.0 - 0.3 * wrap))
        self.sun = np.where(film > 0, 0.6, np.where(wrap > 0, 0.15, 0.7))

    def loosen(self, heaps: NDArray[np.bool_]) -> None:
        """Mixed throughout, a quarter of the warmth over 5 degC lost, more open."""
        for name in ("easy", "tough", "inert", "nitrogen", "microbes", "water"):
            values = getattr(self, name)
            values[..., heaps] = (SHARES * values.sum(axis=(0, 1)))[..., heaps]
        mean = (SHARES * self.celsius).sum(axis=(0, 1))
        self.celsius[..., heaps] = 5.0 + 0.75 * (mean[heaps] - 5.0)
        self.perm = self.perm * np.where(heaps, 1.4, 1.0)

    def bulk(self, dry_chips_m3: Array) -> None:
        """Dry chips throughout."""
        kg = 200.0 * dry_chips_m3 * SHARES
        share = dry_chips_m3 / (np.pi * self.radius**2 * self.height)
        self.tough, self.inert = self.tough + 0.3 * kg, self.inert + 0.7 * kg
        self.water, self.nitrogen = self.water + 0.2 * kg, self.nitrogen + 0.002 * kg
        self.height = self.height * (1.0 + share)
        self.perm = self.perm * (1.0 + 1.5 * share)
        self.celsius = self.celsius * (1.0 - 0.5 * np.minimum(share, 0.4))
