"""What the log and the status show of a heap, as the numbers on which a forecast's weights and range rest."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from service.heat.learning.log import Log
from service.heat.physics.arrays import Array
from service.units.estimate import PileEstimate

LINE_DAYS: Final = 7.0
"""The slope is that of the readings of so many days (common practice, no source),"""
LINE_OF_AGE: Final = 0.5
SHORTEST_LINE_DAYS: Final = 2.0
"""but of no more than so much of the heap's life: the first rise of a young heap says nothing of the days ahead."""
SLOPE_SD: Final = 1.5
"""What slopes of cores are worth before a reading is seen: standard deviation [K/day] (our own)."""
NOISE_K: Final = 1.0
"""Standard error of one reading against its neighbours [K] (common practice, no source)."""
REMEMBERED_DAYS: Final = 14.0
"""From here on a log tells what weeks of this heap are like (our own)."""
NOT_CHANGED_DAYS: Final = 60.0
"""Stands for a draw of which no change was told [days]."""

PAIRS: Final = {
    "no_log_lead": ("no_log", "lead"),
    "newborn_lead": ("newborn", "lead"),
    "young_lead": ("young", "lead"),
    "young_hot": ("young", "hot"),
    "young_cool": ("young", "cool"),
    "plateau_lead": ("plateau", "lead"),
    "changed_lead": ("draw_changed", "lead"),
    "changed_wide": ("draw_changed", "model_wide"),
}
"""Products of two other numbers: what a situation says of the near days it need not say of the far ones, and where the
draw has just changed the members' own spread tells more than elsewhere. A young heap that is hot has risen already."""

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
    "newborn",
    *PAIRS,
)
"""Names of the numbers, in their order."""


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
        lead = np.log(np.maximum(days, 0.5) / 7.0)
        apart = np.clip((moves_k - damped_k) / 20.0, -2.0, 2.0)
        fixed = {
            "always": 1.0,
            "no_log": float(self.readings < 2),
            "short_log": 1.0 - min(self.log_days / LINE_DAYS, 1.0),
            "few_readings": 1.0 / self.readings,
            "moving": min(abs(self.slope) / 3.0, 1.5),
            "falling": min(max(-self.slope, 0.0) / 3.0, 1.5),
            "young": float(np.exp(-self.age_days / 8.0)),
            "hot": min(max((self.now_c - 55.0) / 15.0, 0.0), 1.5),
            "plateau": min(max((self.now_c - 65.0) / 4.0, 0.0), 1.5),
            "cool": min(max((45.0 - self.now_c) / 20.0, 0.0), 1.5),
            "below_peak": min(max((self.peak_c - self.now_c) / 10.0, 0.0), 2.0),
            "spread_of_log": min(self.range_k / 10.0, 2.0),
            "rough_log": min(self.rough_k / 2.0, 2.0),
            "draw_changed": float(np.exp(-self.draw_days / 7.0)),
            "drawing": self.drawing,
            "over_outdoor": min(max((self.now_c - self.outdoor_c) / 40.0, -0.5), 2.0),
            "model_misses": min(self.misses_k / 5.0, 2.0),
            "newborn": float(np.exp(-self.age_days / 1.5)),
            "remembered": float(self.weekly_k is not None),
            "restless": min((self.weekly_k or 0.0) / 10.0, 2.0),
        }
        moving = {
            "lead": lead,
            "lead_bend": lead * lead,
            "model_apart": apart,
            "model_moves": np.minimum(np.abs(moves_k) / 20.0, 2.0),
            "model_wide": np.minimum(half_k / 10.0, 2.5),
        }
        told = fixed | moving
        result = np.empty((len(FEATURES), days.size))
        for row, name in enumerate(FEATURES):
            one, other = PAIRS.get(name, (name, "always"))
            result[row] = told[one] * told[other]
        return result


def situation_of(estimate: PileEstimate, log: Log, misses_k: float) -> Situation:
    """The situation of a heap whose readings are those of a log and which the model missed by so much."""
    recent = log.days >= -LINE_DAYS
    days, core = log.days[recent], log.core_c[recent]
    level, slope, rough, spread = _line(days, core, estimate.age_days)
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
        draw_days=NOT_CHANGED_DAYS if estimate.drawn_days is None else estimate.drawn_days,
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


def _line(days: Array, core: Array, age_days: float) -> tuple[float, float, float, float]:
    """Value now, slope, scatter and range of the readings of a least-squares line whose slope is drawn towards nothing.

    The line is that of the later part of the heap's life, or of the last two readings. [degC, K/day, K, K]
    """
    part = min(max(LINE_OF_AGE * age_days, SHORTEST_LINE_DAYS), LINE_DAYS)
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
