"""What a grower tells of a heap of any make-up, wrongly sized and partly, and the logs made of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from tests.forecasting.logs import (
    AHEAD_DAYS,
    HOT_C,
    HOT_FROM_DAY,
    LENGTH_CHANCES,
    LENGTHS_DAYS,
    YOUNG_DAYS,
    YOUNG_EVERY,
    Kind,
    Log,
    read_core,
)

Array = NDArray[np.float64]

NEW_YEAR: Final = datetime(2025, 1, 1, 7, 30, tzinfo=UTC)
SIZE_LOG_SD, AMOUNT_LOG_SD, MOISTURE_SD = 0.18, 0.2, 0.06
FEELS: Final = (("dusty", 0.34), ("dry", 0.47), ("damp", 0.6), ("wet", 0.68), ("soggy", 1.0))
DAYS: Final = 100

# Bulk density kg/m3 and moisture as they lie, by the service's own ids (our own, plausible).
STUFF: Final = {
    "wood_chips": (320.0, 0.42),
    "wood_chips_green": (350.0, 0.5),
    "horse_manure": (600.0, 0.68),
    "grass_clippings": (340.0, 0.77),
    "poultry_manure": (460.0, 0.4),
    "cattle_manure_bedded": (650.0, 0.7),
    "straw": (120.0, 0.15),
    "food_scraps": (620.0, 0.7),
    "prunings": (260.0, 0.45),
    "leaves": (180.0, 0.4),
}
RECIPES: Final = (
    # chance, wet shares
    (0.22, {"wood_chips": 1.0}),
    (0.08, {"wood_chips_green": 1.0}),
    (0.25, {"wood_chips": 0.75, "horse_manure": 0.25}),
    (0.12, {"wood_chips": 0.55, "horse_manure": 0.25, "grass_clippings": 0.2}),
    (0.1, {"poultry_manure": 1.0}),
    (0.08, {"poultry_manure": 0.4, "wood_chips": 0.6}),
    (0.06, {"cattle_manure_bedded": 0.8, "straw": 0.2}),
    (0.05, {"food_scraps": 0.6, "prunings": 0.4}),
    (0.04, {"leaves": 0.6, "grass_clippings": 0.4}),
)


@dataclass(frozen=True, slots=True)
class Heap:
    """What the grower could know of one heap; the loop is drawn by `loop_flow_kg_s`, 0 where there is none."""

    seed: int
    number: int
    recipe: dict[str, float]
    mass_kg: float
    volume_m3: float
    cover: str
    built_day: int
    mean_air_c: Array  # usual air by day since building
    loop_flow_kg_s: float
    loop_inlet_c: float
    loop_from: int
    loop_change: int
    loop_duty: float
    loop_later: float
    moisture: float | None = None  # watered to this when built, its own where None

    def duty(self, day: float) -> float:
        """Share of the time the pump runs."""
        if self.loop_flow_kg_s <= 0.0 or day < self.loop_from:
            return 0.0
        return self.loop_later if day >= self.loop_change else self.loop_duty


@dataclass(frozen=True, slots=True)
class Course:
    """What happened to one heap: records every half day. Outlet is NaN where nothing runs."""

    core_c: Array
    outer_c: Array
    moisture: Array
    outlet_c: Array


def draw_heap(seed: int, number: int, rng: np.random.Generator) -> Heap:
    """A heap: recipe, size, climate, cover and loop."""
    chances = np.array([chance for chance, _ in RECIPES])
    recipe = RECIPES[int(rng.choice(len(RECIPES), p=chances / chances.sum()))][1]
    mass = 1000.0 * 20.0 ** rng.uniform()
    bulk = 1.0 / sum(share / STUFF[name][0] for name, share in recipe.items()) * np.exp(0.15 * rng.standard_normal())
    built = int(rng.uniform(200.0, 440.0))
    day = np.arange(DAYS + 60) + built
    mean, swing = rng.uniform(4.0, 12.0), rng.uniform(6.0, 13.0)
    air = mean - swing * np.cos(2.0 * np.pi * (day - 20.0) / 365.25)
    fitted = rng.uniform() < 0.45
    duty = min(0.2 * np.exp(0.7 * rng.standard_normal()), 1.0)
    start = int(rng.uniform(4.0, 40.0))
    changed = rng.uniform() < 0.45
    later = min(duty * float(rng.choice([0.35, 2.5])), 1.0)
    return Heap(
        seed=seed,
        number=number,
        recipe=dict(recipe),
        mass_kg=mass,
        volume_m3=mass / bulk,
        cover=str(rng.choice(["none", "clear_film", "tarp", "straw"], p=[0.5, 0.25, 0.15, 0.1])),
        built_day=built,
        mean_air_c=air,
        loop_flow_kg_s=rng.uniform(2.0, 6.0) / 60.0 if fitted else 0.0,
        loop_inlet_c=rng.uniform(4.0, 18.0),
        loop_from=start,
        loop_change=start + int(rng.uniform(4.0, 40.0)) if changed else 10**6,
        loop_duty=round(60.0 * duty) / 60.0,
        loop_later=round(60.0 * later) / 60.0,
    )


def log_of(heap: Heap, course: Course, rng: np.random.Generator) -> Log | None:
    """One log of a heap, told on a random day as in `logs`; None where no day will do."""
    kind: Kind = "young" if heap.number % YOUNG_EVERY == YOUNG_EVERY - 1 else "hot"
    first, last = (HOT_FROM_DAY, DAYS - AHEAD_DAYS) if kind == "hot" else YOUNG_DAYS
    day = np.arange(first, last + 1)
    good = course.core_c[2 * day] > (HOT_C if kind == "hot" else -np.inf)
    if heap.loop_flow_kg_s > 0.0:
        for change in (heap.loop_from, heap.loop_change):
            good &= (change <= day) | (change > day + AHEAD_DAYS)
    days = day[good]
    if days.size == 0:
        return None
    length = int(rng.choice(LENGTHS_DAYS, p=LENGTH_CHANCES))
    return tell(heap, course, int(rng.choice(days)), length, rng)


def tell(heap: Heap, course: Course, day: int, length: int, rng: np.random.Generator) -> Log:
    """The log of a heap on a day."""
    times, values = read_core(course.core_c[: 2 * day + 1], min(length, day), rng)
    built = NEW_YEAR + timedelta(days=heap.built_day)
    now = built + timedelta(days=day)
    body: dict[str, Any] = {
        "as_of": now.isoformat(),
        "pile": _pile(heap, day, rng),
        "temperatures": {"core": values[-1], "outdoor": round(float(heap.mean_air_c[day]))},
        "history": [
            {"at": (now - timedelta(days=day - at)).isoformat(), "core": value}
            for at, value in zip(times[:-1], values[:-1], strict=True)
        ],
    }
    if rng.uniform() < 0.5:
        body["temperatures"]["outer"] = float(np.rint(course.outer_c[2 * day] + 1.5 * rng.standard_normal()))
    if rng.uniform() < 0.5:
        felt = float(course.moisture[2 * day]) + MOISTURE_SD * rng.standard_normal()
        body["moisture_feel"] = next(word for word, limit in FEELS if felt < limit)
    body |= _loop(heap, course, day, core_c=values[-1], built=built, rng=rng)
    kind: Kind = "hot" if day >= HOT_FROM_DAY else "young"
    path = course.core_c[2 * day : 2 * (day + AHEAD_DAYS) + 1]
    return Log(heap.seed, heap.number, day, kind, body, path, course.core_c[2 * day :])


def _about(value: float, log_sd: float, rng: np.random.Generator) -> float:
    return float(f"{value * np.exp(log_sd * rng.standard_normal()):.2g}")


def _pile(heap: Heap, day: int, rng: np.random.Generator) -> dict[str, Any]:
    pile: dict[str, Any] = {"age": day, "cover": heap.cover}
    if rng.uniform() < 0.9:
        if rng.uniform() < 0.5:
            pile["size"] = {"volume": _about(heap.volume_m3, SIZE_LOG_SD, rng)}
        else:
            pile["size"] = {"mass": f"{_about(heap.mass_kg / 1000.0, SIZE_LOG_SD, rng)} t"}
    if rng.uniform() < 0.9:
        pile["ingredients"] = [
            {"material": name, "amount": f"{_about(share * heap.mass_kg / STUFF[name][0], AMOUNT_LOG_SD, rng):g} m3"}
            for name, share in heap.recipe.items()
        ]
    return pile


def _loop(
    heap: Heap, course: Course, day: int, *, core_c: float, built: datetime, rng: np.random.Generator
) -> dict[str, Any]:
    if heap.loop_flow_kg_s <= 0.0:
        return {"equipment": []}
    duty = heap.duty(day)
    water: dict[str, Any] = {"flow": f"{60.0 * heap.loop_flow_kg_s:.2g} L/min", "minutes_per_hour": round(60.0 * duty)}
    body: dict[str, Any] = {"equipment": ["water_loop"], "draw": {"water": water}}
    if duty <= 0.0:
        return body
    if rng.uniform() < 0.7:
        water["inlet"] = float(np.rint(heap.loop_inlet_c))
        water["outlet"] = min(float(np.rint(course.outlet_c[2 * day])), core_c + 7.0)
    changed = heap.loop_change <= day
    since = built + timedelta(days=heap.loop_change if changed else heap.loop_from)
    water["since"] = since.date().isoformat()
    if changed:
        rose = heap.loop_later > heap.loop_duty
        body["done"] = [{"at": since.isoformat(), "action": "raise_draw" if rose else "reduce_draw"}]
    return body
