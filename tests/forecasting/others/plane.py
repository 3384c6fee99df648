"""A plane truth: a bed of layers, draught from the foot, and microbes that grow on what they dissolve.

All numbers are our own. Growth over temperature is the square-root law of Ratkowsky et al. 1983 (from memory);
substrate is dissolved from a solid pool by the microbes there are, eaten by saturating uptake, and needs oxygen that
the air loses layer by layer on its way up.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from tests.forecasting.logs import Log

from .told import DAYS, STUFF, Course, Heap, draw_heap, log_of

Array = NDArray[np.float64]

LAYERS: Final = 14
STEPS_PER_DAY: Final = 96
STEP_S: Final = 86_400.0 / STEPS_PER_DAY
OXYGEN_IN_AIR: Final = 0.232
# Per material: dissolved already, easily dissolved, hardly dissolved, each a share of the dry matter.
MAKE_UP: Final = {
    "wood_chips": (0.015, 0.08, 0.35),
    "wood_chips_green": (0.03, 0.12, 0.35),
    "horse_manure": (0.04, 0.22, 0.35),
    "grass_clippings": (0.12, 0.4, 0.2),
    "poultry_manure": (0.05, 0.22, 0.25),
    "cattle_manure_bedded": (0.05, 0.25, 0.3),
    "straw": (0.02, 0.25, 0.35),
    "food_scraps": (0.15, 0.45, 0.15),
    "prunings": (0.03, 0.12, 0.35),
    "leaves": (0.03, 0.15, 0.4),
}
COVERED: Final = {"none": (1.0, 1.0), "clear_film": (0.7, 0.35), "tarp": (0.7, 0.4), "straw": (0.5, 0.8)}
"""Of the loss through the top, and of the draught, what is left."""


def make_logs(seed: int, count: int) -> list[Log]:
    """Logs of a seed's first heaps."""
    rngs = [np.random.Generator(np.random.PCG64([seed, number, 83])) for number in range(count)]
    heaps = [draw_heap(seed, number, rng) for number, rng in enumerate(rngs)]
    courses = simulate(heaps, rngs)
    told = (log_of(heap, course, rng) for heap, course, rng in zip(heaps, courses, rngs, strict=True))
    return [log for log in told if log is not None]


def _saturated(celsius: Array) -> Array:
    pressure = np.minimum(611.0 * 10.0 ** (7.5 * celsius / (celsius + 237.3)), 60_000.0)
    result: Array = 0.622 * pressure / (101_325.0 - pressure)
    return result


def simulate(heaps: list[Heap], rngs: list[np.random.Generator]) -> list[Course]:  # noqa: PLR0915 -- one model, read in order
    """Quarter-hour steps; records every half day."""
    n = len(heaps)

    def spread(log_sd: float) -> Array:
        return np.exp(log_sd * np.array([rng.standard_normal() for rng in rngs]))

    def between(low: float, high: float) -> Array:
        return np.array([rng.uniform(low, high) for rng in rngs])

    volume = np.array([heap.volume_m3 for heap in heaps])
    height = np.clip(0.62 * volume ** (1.0 / 3.0) * spread(0.12), 0.5, 3.0)
    area = volume / height
    layer_m = height / LAYERS
    moisture = np.array([sum(s * STUFF[m][1] for m, s in heap.recipe.items()) for heap in heaps])
    moisture = np.clip(moisture + 0.05 * np.log(spread(1.0)), 0.35, 0.7)
    moisture = np.array([own if h.moisture is None else h.moisture for own, h in zip(moisture, heaps, strict=True)])
    dry0 = np.array([heap.mass_kg for heap in heaps]) * (1.0 - moisture) / volume  # kg/m3
    pools = [
        np.array([sum(s * MAKE_UP[m][k] for m, s in h.recipe.items()) for h in heaps]) * spread(0.35) for k in range(3)
    ]
    total = sum(pools)
    pools = [pool * np.minimum(1.0, 0.8 / total) * dry0 for pool in pools]
    ones = np.ones((LAYERS, n))
    soluble, easy, hard = (pool * ones for pool in pools)
    inert = (dry0 - sum(pools)) * ones
    microbes = 0.003 * dry0 * spread(0.7) * ones
    water = dry0 * moisture / (1.0 - moisture) * ones
    coldest, hottest = between(-4.0, 4.0), between(60.0, 76.0)
    bent = between(0.1, 0.25)
    scale = 1.0 / _ratkowsky(np.linspace(0, 80, 161)[:, None], coldest, hottest, bent).max(axis=0)
    cool_guild = between(0.2, 0.6)
    growth, dying = 4.5 * spread(0.35) / 86_400.0, 0.16 * spread(0.3) / 86_400.0
    dissolve = [0.2 * spread(0.5) / 86_400.0, 0.012 * spread(0.6) / 86_400.0]
    half_soluble, half_oxygen = 0.01 * dry0 * spread(0.4), 0.02 * spread(0.5)
    crowded = 0.02 * dry0
    conductivity = 0.28 * spread(0.35)
    permeability = 6e-10 * spread(1.0)
    top_left = np.array([COVERED[heap.cover][0] for heap in heaps])
    draught_left = np.array([COVERED[heap.cover][1] for heap in heaps])
    side = 0.9 * spread(0.3) * 2.0 * np.sqrt(np.pi / area) * layer_m / 2.0  # W/K per m2 of bed and layer
    thirst = between(0.3, 0.6)  # water per dry matter at half pace
    flow = np.array([heap.loop_flow_kg_s for heap in heaps]) * 4186.0
    tube = 60.0 * spread(0.5) * (volume / 10.0) ** 0.5
    loop = np.where(flow > 0, flow * (1.0 - np.exp(-tube / np.maximum(flow, 1.0))), 0.0)
    inlet = np.array([heap.loop_inlet_c for heap in heaps])
    placed = np.zeros((LAYERS, n))
    placed[LAYERS // 4 : 3 * LAYERS // 4] = 1.0 / (3 * LAYERS // 4 - LAYERS // 4)
    usual = np.array([heap.mean_air_c for heap in heaps]).T
    noise = np.array([rng.standard_normal((DAYS + 1, 3)) for rng in rngs]).transpose(1, 2, 0)
    celsius = (np.maximum(usual[0], 2.0) + between(0.0, 12.0)) * ones
    ground = usual[0] * 0.4 + usual.mean(axis=0) * 0.6
    covered = np.array([heap.cover in ("clear_film", "tarp") for heap in heaps])
    air_k, mood = np.zeros(n), np.zeros(n)
    sinking = np.zeros(n)
    records: list[Array] = []
    duty = np.zeros(n)
    for number in range(STEPS_PER_DAY * DAYS + 1):
        day = number // STEPS_PER_DAY
        if number % STEPS_PER_DAY == 0:
            air_k = 0.75 * air_k + 2.6 * noise[day, 0]
            mood = 0.85 * mood + 0.08 * noise[day, 1]
            duty = np.array([heap.duty(day) for heap in heaps])
            rain = np.where((noise[day, 2] > 0.7) & ~covered, 5.0, 0.0) / layer_m  # kg/m3 into the top layer
            water[-1] += rain * 0.5
            sinking += 0.002
        air = usual[day] + air_k
        dry = inert + soluble + easy + hard + microbes
        wet = water / dry
        if number % (STEPS_PER_DAY // 2) == 0:
            material = (placed * celsius).sum(axis=0)
            out = np.where(flow * duty > 0, inlet + loop / np.maximum(flow, 1.0) * (material - inlet), np.nan)
            hot = celsius[LAYERS // 3 : LAYERS - 2].max(axis=0)
            arm = wet[-4] / (1.0 + wet[-4])
            records.append(np.array([hot, celsius[-2], arm, out]))
        pore = np.maximum(1.0 - dry / 1450.0 - water / 1000.0, 0.05)
        lift = np.maximum(celsius.mean(axis=0) - air, 0.0) / 300.0 * 1.2 * 9.81  # Pa/m
        open_ = (2.0 * pore.min(axis=0)) ** 3
        draught = (
            permeability * open_ * lift / 1.9e-5 * 1.2 * draught_left * (1.0 - 0.3 * np.minimum(sinking, 1.0))
        )  # kg/(m2 s)
        warm = np.maximum(_ratkowsky(celsius, coldest, hottest, bent) * scale, cool_guild * _cool_guild(celsius))
        drought = wet**2 / (wet**2 + thirst**2)
        uptake = growth * warm * drought * soluble / (soluble + half_soluble) * microbes * np.exp(mood)
        burnt, heat = _with_oxygen(uptake, draught, layer_m, half_oxygen, pore)
        freed = [
            k * warm * drought * pool * microbes / (microbes + crowded)
            for k, pool in zip(dissolve, (easy, hard), strict=True)
        ]
        died = dying * (0.3 + warm) * microbes
        capacity = (1500.0 * dry + 4186.0 * water) * layer_m
        flux = _conducted(celsius, conductivity, layer_m, air=air, ground=ground, top_left=top_left)
        carried, moved = _carried(celsius, air, draught, wet)
        lost = side * (celsius - air)
        drawn = placed * loop * duty / area * (celsius - inlet)
        celsius = celsius + STEP_S * (heat * layer_m + flux + carried - lost - drawn) / capacity
        soluble = np.maximum(soluble + STEP_S * (freed[0] + freed[1] + 0.6 * died - burnt), 1e-6)
        easy, hard = easy - STEP_S * freed[0], hard - STEP_S * freed[1]
        microbes = np.maximum(microbes + STEP_S * (0.35 * burnt - died), 1e-6 * dry)
        water = np.clip(water + STEP_S * (0.35 * burnt + moved / layer_m), 0.03 * dry, 2.4 * dry)
    kept = np.array(records)
    return [Course(kept[:, 0, i], kept[:, 1, i], kept[:, 2, i], kept[:, 3, i]) for i in range(n)]


def _ratkowsky(celsius: Array, coldest: Array, hottest: Array, bent: Array) -> Array:
    root = np.maximum(celsius - coldest, 0.0) * np.maximum(1.0 - np.exp(bent * (celsius - hottest)), 0.0)
    result: Array = root * root
    return result


def _cool_guild(celsius: Array) -> Array:
    """What grows in the cool: best at 36 degC, nothing above 46."""
    return np.clip((celsius + 6.0) / 42.0, 0.0, 1.0) * np.clip((46.0 - celsius) / 10.0, 0.0, 1.0)


def _with_oxygen(uptake: Array, draught: Array, layer_m: Array, half: Array, pore: Array) -> tuple[Array, Array]:
    """What is burnt [kg/(m3 s)] and the heat of it [W/m3], the air losing oxygen on its way up."""
    oxygen = np.full(uptake.shape[-1], OXYGEN_IN_AIR)
    burnt = np.empty_like(uptake)
    diffusing = 3e-6 * pore
    for layer in range(LAYERS):
        supply = draught * oxygen + diffusing[layer] * layer_m * 2.0 + 1e-9
        wanted = uptake[layer] * layer_m * 0.75 * (oxygen / (oxygen + half))
        used = wanted * supply / (wanted + supply)
        burnt[layer] = used / (0.75 * layer_m)
        oxygen = np.maximum(oxygen - np.minimum(used, 0.9 * draught * oxygen) / np.maximum(draught, 1e-7), 0.002)
    return burnt, 11.5e6 * burnt


def _conducted(celsius: Array, k: Array, layer_m: Array, *, air: Array, ground: Array, top_left: Array) -> Array:
    flux = np.zeros_like(celsius)
    between = k / layer_m * np.diff(celsius, axis=0)
    flux[:-1] += between
    flux[1:] -= between
    flux[0] += (ground - celsius[0]) / (0.5 * layer_m / k + 0.7)
    flux[-1] += (air - 3.0 - celsius[-1]) / (0.5 * layer_m / k + 0.08) * top_left
    return flux


def _carried(celsius: Array, air: Array, draught: Array, wet: Array) -> tuple[Array, Array]:
    """Heat [W/m2] and water [kg/(m2 s)] that each layer gains from the air passing through."""
    below = np.concatenate([air[None], celsius[:-1]])
    held = _saturated(celsius) * np.minimum(1.0, 3.0 * wet)
    under = np.concatenate([0.8 * _saturated(air)[None], held[:-1]])
    gained = draught * (under - held)
    return draught * 1006.0 * (below - celsius) + 2.45e6 * gained, gained
