"""What the log and the status show of a heap, as the numbers on which a forecast's weights and range rest."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from service.heat.learning.log import Log
from service.heat.physics.arrays import Array
from service.units.estimate import PileEstimate
from service.units.figures import figure

LINE_DAYS: Final = figure(
    7.0, "days", "The slope of a log is that of the readings of so many days (common practice)", "no source"
)
LINE_OF_AGE: Final = figure(
    0.5,
    "1",
    "It is that of no more than this share of the heap's life: the first rise of a young heap says "
    "nothing of the days ahead",
    "no source",
)
SHORTEST_LINE_DAYS: Final = figure(
    2.0, "days", "However young the heap, the slope is that of so many days", "no source"
)
SLOPE_SD: Final = figure(
    1.5, "K/day", "What slopes of cores are worth before a reading is seen: standard deviation", "no source"
)
NOISE_K: Final = figure(1.0, "K", "Standard error of one reading against its neighbours (common practice)", "no source")
REMEMBERED_DAYS: Final = figure(14.0, "days", "From here on a log tells what weeks of this heap are like", "no source")
NOT_CHANGED_DAYS: Final = figure(60.0, "days", "Stands for a draw of which no change was told", "no source")

PAIRS: Final = {
    "no_log_lead": ("no_log", "lead"),
    "newborn_lead": ("newborn", "lead"),
    "young_lead": ("young", "lead"),
    "young_hot": ("young", "hot"),
    "young_cool": ("young", "cool"),
    "plateau_lead": ("plateau", "lead"),
    "calm_lead": ("calm", "lead"),
    "calm_drawing": ("calm", "drawing"),
    "changed_lead": ("draw_changed", "lead"),
    "changed_wide": ("draw_changed", "model_wide"),
}
"""Products of two other numbers: what a situation says of the near days it need not say of the far ones, and where the
draw has just changed the members' own spread tells more than elsewhere. A young heap that is hot has risen already, and
what kept a core calm for weeks may be that little was drawn."""

FEATURES: Final = (
    "always",
    "lead",
    "lead_bend",
    "no_log",
    "short_log",
    "few_readings",
    "moving",
    "falling",
    "young",
    "hot",
    "plateau",
    "cool",
    "below_peak",
    "spread_of_log",
    "rough_log",
    "draw_changed",
    "drawing",
    "over_outdoor",
    "model_apart",
    "model_moves",
    "model_misses",
    "model_wide",
    "remembered",
    "restless",
    "calm",
    "newborn",
    *PAIRS,
)
"""Names of the numbers, in their order."""


SHORTEST_LEAD_DAYS: Final = figure(0.5, "days", "A forecast for sooner is one for then", "derived")
SCALES: Final = figure(
    {
        **{"lead": 7.0, "young": 8.0, "newborn": 1.5, "draw_changed": 7.0},
        **{"moving": 3.0, "falling": 3.0},
        **{"hot": 15.0, "plateau": 4.0, "cool": 20.0, "below_peak": 10.0, "over_outdoor": 40.0},
        **{"spread_of_log": 10.0, "rough_log": 2.0, "restless": 10.0, "calm": 3.0},
        **{"model_apart": 20.0, "model_moves": 20.0, "model_wide": 10.0, "model_misses": 5.0},
    },
    "days, K/day, K",
    "What each number is divided by, so that one is a lot; the table's coefficients were learned with these",
    "derived",
)
MOST: Final = figure(
    {
        **{"moving": 1.5, "falling": 1.5, "hot": 1.5, "plateau": 1.5, "cool": 1.5, "below_peak": 2.0},
        **{"over_outdoor": 2.0, "spread_of_log": 2.0, "rough_log": 2.0, "restless": 2.0},
        **{"model_apart": 2.0, "model_moves": 2.0, "model_wide": 2.5, "model_misses": 2.0},
    },
    "1",
    "What is further out counts as this: little like it was learned from",
    "derived",
)
BEYOND_C: Final = figure(
    {"hot": 55.0, "plateau": 65.0, "cool": 45.0}, "degC", "From here on a core counts as that", "derived"
)
LEAST_OVER_OUTDOOR: Final = figure(-0.5, "1", "A core further below the air outside counts as this", "derived")


@dataclass(frozen=True, slots=True)
class Situation:
    """One heap's, in SI: the core now, its line and what surrounds it.

    `level_c` is the line's value now, `slope` its slope, drawn towards nothing as far as it is uncertain [K/day];
    `range_k` is the range of its readings and `rough_k` their scatter about it; `misses_k` tells how far the model was
    from the readings on the mean.
    `weekly_k` is by how much the core moved within a week, on the mean of all the log, None where it is too short.
    `stopped` tells that what drew until now is found standing: the log's fall is that of a draw that is no more.
    `draw_read` tells that the outlet of all that is drawn was read, so that the heat drawn is measured.
    """

    now_c: float
    level_c: float
    slope: float
    outdoor_c: float
    age_days: float
    readings: int
    log_days: float
    peak_c: float
    range_k: float
    rough_k: float
    draw_days: float
    drawing: float
    draw_read: bool
    misses_k: float
    weekly_k: float | None
    stopped: bool = False

    def features(self, days: Array, moves_k: Array, damped_k: Array, half_k: Array) -> Array:
        """The numbers of FEATURES at each lead, (features, k).

        Parameters
        ----------
        days
            Leads, (k,).
        moves_k, half_k
            How far the model's median goes from now, and half its 80 % range, (k,). [K]
        damped_k
            How far a damped line goes, (k,). [K]
        """
        lead = np.log(np.maximum(days, SHORTEST_LEAD_DAYS) / SCALES["lead"])
        apart = np.clip((moves_k - damped_k) / SCALES["model_apart"], -MOST["model_apart"], MOST["model_apart"])
        over_k = self.now_c - self.outdoor_c
        fixed = {
            "always": 1.0,
            "no_log": float(self.readings < 2),
            "short_log": 1.0 - min(self.log_days / LINE_DAYS, 1.0),
            "few_readings": 1.0 / self.readings,
            "moving": min(abs(self.slope) / SCALES["moving"], MOST["moving"]),
            "falling": min(max(-self.slope, 0.0) / SCALES["falling"], MOST["falling"]),
            "young": float(np.exp(-self.age_days / SCALES["young"])),
            "hot": min(max((self.now_c - BEYOND_C["hot"]) / SCALES["hot"], 0.0), MOST["hot"]),
            "plateau": min(max((self.now_c - BEYOND_C["plateau"]) / SCALES["plateau"], 0.0), MOST["plateau"]),
            "cool": min(max((BEYOND_C["cool"] - self.now_c) / SCALES["cool"], 0.0), MOST["cool"]),
            "below_peak": min(max((self.peak_c - self.now_c) / SCALES["below_peak"], 0.0), MOST["below_peak"]),
            "spread_of_log": min(self.range_k / SCALES["spread_of_log"], MOST["spread_of_log"]),
            "rough_log": min(self.rough_k / SCALES["rough_log"], MOST["rough_log"]),
            "draw_changed": float(np.exp(-self.draw_days / SCALES["draw_changed"])),
            "drawing": self.drawing,
            "over_outdoor": min(max(over_k / SCALES["over_outdoor"], LEAST_OVER_OUTDOOR), MOST["over_outdoor"]),
            "model_misses": min(self.misses_k / SCALES["model_misses"], MOST["model_misses"]),
            "newborn": float(np.exp(-self.age_days / SCALES["newborn"])),
            "remembered": float(self.weekly_k is not None),
            "restless": min((self.weekly_k or 0.0) / SCALES["restless"], MOST["restless"]),
            "calm": 0.0 if self.weekly_k is None else float(np.exp(-self.weekly_k / SCALES["calm"])),
        }
        moving = {
            "lead": lead,
            "lead_bend": lead * lead,
            "model_apart": apart,
            "model_moves": np.minimum(np.abs(moves_k) / SCALES["model_moves"], MOST["model_moves"]),
            "model_wide": np.minimum(half_k / SCALES["model_wide"], MOST["model_wide"]),
        }
        told = fixed | moving
        result = np.empty((len(FEATURES), days.size))
        for row, name in enumerate(FEATURES):
            one, other = PAIRS.get(name, (name, "always"))
            result[row] = told[one] * told[other]
        return result


def situation_of(estimate: PileEstimate, log: Log, misses_k: float) -> Situation:
    """The situation of a heap whose readings are those of a log and which the model missed by so much."""
    days, core = _lately(log)
    draw_days = NOT_CHANGED_DAYS if estimate.drawn_days is None else estimate.drawn_days
    level, slope, rough, spread = _line(days, core, min(LINE_OF_AGE * estimate.age_days, draw_days))
    now = float(log.core_c[-1])
    seen = [core_c for _, core_c in estimate.history]
    draws = [draw for draw in (estimate.air, estimate.water) if draw is not None]
    running = [draw for draw in draws if draw.hour_share * draw.day_share > 0.0]
    return Situation(
        now_c=now,
        level_c=level,
        slope=slope,
        outdoor_c=estimate.outdoor_c.value,
        age_days=estimate.age_days,
        readings=int(days.size),
        log_days=float(-days[0]),
        peak_c=max([now, *seen]),
        range_k=spread,
        rough_k=rough,
        draw_days=draw_days,
        drawing=float(bool(running)),
        draw_read=bool(running) and all(draw.outlet_c is not None for draw in running),
        misses_k=misses_k,
        weekly_k=_weekly(estimate, now),
        stopped=estimate.drawn_before == "as_set",
    )


def _weekly(estimate: PileEstimate, now: float) -> float | None:
    """By how much the core moved within a week, on the mean of a log of a fortnight or more. [K]"""
    back = np.array([*(days for days, _ in estimate.history), 0.0])
    core = np.array([*(core for _, core in estimate.history), now])
    if back[0] < REMEMBERED_DAYS:
        return None
    later = back[back <= back[0] - LINE_DAYS]
    ends = np.interp(-later, -back, core), np.interp(-later - LINE_DAYS, -back, core)
    return float(np.abs(ends[0] - ends[1]).mean())


def _lately(log: Log) -> tuple[Array, Array]:
    """The readings of the last week, or the last two: a log that is kept seldom is a log. [days, degC]"""
    count = max(int((log.days >= -LINE_DAYS).sum()), min(2, log.days.size))
    return log.days[-count:], log.core_c[-count:]


def _line(days: Array, core: Array, telling_days: float) -> tuple[float, float, float, float]:
    """Value now, slope, scatter and range of the readings of a least-squares line whose slope is drawn towards nothing.

    The line is that of the last days that tell of the days ahead, or of the last two readings. [degC, K/day, K, K]
    """
    part = min(max(telling_days, SHORTEST_LINE_DAYS), LINE_DAYS)
    count = max(int((days >= -part).sum()), min(2, days.size))
    days, core = days[-count:], core[-count:]
    ranged = float(core.max() - core.min())
    apart = days - days.mean()
    spread = float((apart**2).sum())
    if spread <= 0.0:
        return float(core[-1]), 0.0, NOISE_K, ranged
    free = float((apart * core).sum()) / spread
    slope = free * SLOPE_SD**2 / (SLOPE_SD**2 + NOISE_K**2 / spread)
    left = core - core.mean() - free * apart
    rough = float(np.sqrt((left**2).sum() / (days.size - 2))) if days.size > 3 else NOISE_K
    return float(core.mean()) - slope * float(days.mean()), slope, rough, ranged
