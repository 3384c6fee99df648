"""Season draws told against those of true heaps: `/advice` (and so `/outlook`) of a heap that stands, `/sizing`."""

from __future__ import annotations

import calendar
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from service.answer.advice import advise
from service.outlook.answer import outlook_of, outlook_shown
from service.planning.shapes.sizing import SizingRequest
from service.planning.sizing import answer_sizing
from service.status.reading import read_model, read_status
from tests.drawn.steady import COPIES, Copies, Planned

Array = NDArray[np.float64]

LIMIT_C: Final = 40.0
WARM_C: Final = 42.0
"""A standing heap is asked about when its core is above this."""
ASKED_FROM, ASKED_TO = 12, 40  # days after building
HORIZONS: Final = (30, 58)
LOGS: Final = (0, 7, 14)
LEAD_DAYS: Final = 21
SIMULATED_DAYS: Final = 100
PLANNED_MOISTURE: Final = 0.55
"""To which `/sizing` has a heap watered."""
HUGE: Final = "60 kW"
SMALLEST_M3: Final = 1.0
DAILY_SWING_K: Final = 4.0


@dataclass(frozen=True, slots=True)
class Draw:
    """One season draw as told, and as the true heap stands it. [W]"""

    truth: str
    asked: str
    days: int
    low: float
    middle: float
    high: float
    true_w: float

    @property
    def held(self) -> bool:
        """Whether the range held; half a watt is nothing."""
        return self.low - 0.5 <= self.true_w <= self.high + 0.5


def judged(truths: Iterable[str], seeds: Sequence[int], heaps: int) -> list[Draw]:
    """All ways of asking about heaps of these truths and seeds."""
    found = []
    for name in truths:
        for seed in seeds:
            found += standing(name, seed, heaps)
            found += planned(name, seed, heaps)
    return found


def standing(name: str, seed: int, heaps: int) -> list[Draw]:
    """Heaps that stand and are warm, asked about on some day, with and without what-ifs, and by the outlook."""
    rng = np.random.Generator(np.random.PCG64([seed, 61]))
    days = rng.integers(ASKED_FROM, ASKED_TO, heaps).tolist()
    horizons, logs = rng.choice(HORIZONS, heaps).tolist(), rng.choice(LOGS, heaps).tolist()
    found = []
    for number, copies in enumerate(COPIES[name](seed, heaps, days, SIMULATED_DAYS, None)):
        day, horizon = days[number], horizons[number]
        if copies.core_c[0, 2 * day] < WARM_C:
            continue
        body = _told(copies, day, min(logs[number], day), horizon)
        true_w = copies.most_w(day, horizon, LIMIT_C)
        for asked, draw in asked_of(body, horizon).items():
            found.append(Draw(name, asked, horizon, *_watts(draw), true_w))
    return found


def _told(copies: Copies, day: int, length: int, horizon: int) -> dict[str, Any]:
    body = copies.tell(day, length)
    until = datetime.fromisoformat(body["as_of"]) + timedelta(days=horizon)
    body["goal"] = {"until": until.date().isoformat(), "keep_core_above": LIMIT_C}
    return {key: value for key, value in body.items() if value != []} | {"equipment": body["equipment"]}


def asked_of(body: dict[str, Any], horizon: int) -> dict[str, dict[str, Any]]:
    """The season draw in each answer about a standing heap."""
    status = read_status(body)
    return {
        "advice": advise(status, "full")["energy"]["season_draw"],
        "advice, no effects": advise(status, "none")["energy"]["season_draw"],
        "outlook": outlook_shown(outlook_of(status, horizon))["season_draw"]["power"],
    }


def planned(name: str, seed: int, heaps: int) -> list[Draw]:
    """The same heaps, watered as `/sizing` has it, planned at their own size and drawn from the end of the lead on."""
    rng = np.random.Generator(np.random.PCG64([seed, 67]))
    horizons = rng.choice(HORIZONS, heaps).tolist()
    found = []
    all_copies = COPIES[name](seed, heaps, [LEAD_DAYS] * heaps, SIMULATED_DAYS, PLANNED_MOISTURE)
    for horizon, copies in zip(horizons, all_copies, strict=True):
        if copies.planned.volume_m3 < SMALLEST_M3:
            continue
        plan = answer_sizing(read_model(_request(copies.planned, horizon), SizingRequest, "the request")).model_dump()
        true_w = copies.most_w(LEAD_DAYS, horizon, LIMIT_C)
        found.append(Draw(name, "sizing", horizon, *_watts(plan["gives"]["season_draw"]), true_w))
    return found


def _request(heap: Planned, days: int) -> dict[str, Any]:
    start = heap.built + timedelta(days=LEAD_DAYS)
    whole = sum(heap.parts.values())
    return {
        "heat": {"power": HUGE},
        "period": {"start": start.date().isoformat(), "until": (start + timedelta(days=days - 1)).date().isoformat()},
        "mix": [{"material": name, "share": round(part / whole, 3)} for name, part in heap.parts.items()],
        "feed": False,
        "cover": heap.cover,
        "lead": LEAD_DAYS,
        "keep_core_above": LIMIT_C,
        "largest": {"volume": f"{heap.volume_m3:.2f} m3", "height": "4.5 m"},
        "outdoor": {"monthly": _months(heap)},
        "equipment": ["water_loop"],
    }


def _months(heap: Planned) -> list[dict[str, Any]]:
    """The climate of the months from building on, as a table has it."""
    days = np.arange(0, SIMULATED_DAYS + 1)
    months = np.array([(heap.built + timedelta(days=int(day))).month for day in days])
    usual = heap.usual_c(days.astype(np.float64))
    return [
        {
            "month": calendar.month_name[month].lower(),
            "low": round(float(usual[months == month].mean()) - DAILY_SWING_K, 1),
            "high": round(float(usual[months == month].mean()) + DAILY_SWING_K, 1),
        }
        for month in dict.fromkeys(months.tolist())
    ]


def _watts(told: dict[str, Any]) -> tuple[float, float, float]:
    scale = {"W": 1.0, "kW": 1000.0}[told["unit"]]
    return told["low"] * scale, told["value"] * scale, told["high"] * scale


def table(draws: Sequence[Draw]) -> str:
    """By truth and way of asking: mean true and told, how often the range held, and who lies outside on which side."""
    head = f"{'':<34}{'n':>5}{'true W':>9}{'told W':>9}{'told/true':>10}{'held':>6}{'below':>7}{'above':>7}{'width':>8}"
    lines = [head]
    for asked in dict.fromkeys(each.asked for each in draws):
        rows = [each for each in draws if each.asked == asked]
        for truth in (*dict.fromkeys(each.truth for each in rows), "all"):
            lines.append(_row(f"{truth}, {asked}", [each for each in rows if truth in (each.truth, "all")]))
    return "\n".join(lines)


def _row(name: str, some: Sequence[Draw]) -> str:
    true, told = (np.array([getattr(each, what) for each in some]) for what in ("true_w", "middle"))
    held = np.mean([each.held for each in some])
    below = np.mean([each.true_w < each.low - 0.5 for each in some])
    above = np.mean([each.true_w > each.high + 0.5 for each in some])
    width = np.mean([each.high - each.low for each in some])
    ratio = told.mean() / max(true.mean(), 1e-9)
    return (
        f"{name:<34}{len(some):>5}{true.mean():>9.0f}{told.mean():>9.0f}{ratio:>10.2f}{held:>6.2f}"
        f"{below:>7.2f}{above:>7.2f}{width:>8.0f}"
    )
