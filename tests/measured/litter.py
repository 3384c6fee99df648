"""The litter stack of 2023: its probes and weather by the hour, and what a grower would have told of it.

Data: Kamp and Feilberg, AU-BCE-EE/Kamp-2024-Broiler-Litter, CC BY 4.0; see `data/README.md`.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

FOLDER: Final = Path(__file__).with_name("data") / "litter_stack_2023"
BUILT: Final = datetime(2023, 8, 29, 9, 30, tzinfo=UTC)
"""Local summer time, taken as if it were UTC: only differences count."""
COVERED: Final = datetime(2023, 9, 4, 10, 20, tzinfo=UTC)
UNCOVERED: Final = datetime(2023, 10, 2, 10, 30, tzinfo=UTC)
REMOVED_HOURS: Final = 1
"""The last row was written while the stack was taken away: no forecast is judged by it."""
MASS_KG: Final = 22_000.0
MOISTURE: Final = 49.0  # % of the wet mass
READ_AT_HOUR: Final = 10

JUDGING: Final = ("T10", "T12", "T21", "T23", "T30", "T33")
TUNING: Final = ("T11", "T13", "T20", "T22", "T31", "T32")
WHERE: Final = {"0": "base", "1": "base", "2": "middle", "3": "top"}

FIRST_ORIGIN_DAYS, LAST_AHEAD_DAYS, EVERY_DAYS = 3, 14, 2
LOG_DAYS: Final = 14


@dataclass(frozen=True, slots=True)
class Trace:
    """One probe: hours since building (n,) and what it read, NaN where nothing came. [degC]"""

    probe: str
    days: Array
    celsius: Array

    @property
    def where(self) -> str:
        """Base, middle or top."""
        return WHERE[self.probe[-1]]

    def at(self, days: float) -> float:
        """The reading of that hour, NaN where there is none."""
        place = round((days - float(self.days[0])) * 24.0)
        return float(self.celsius[place]) if 0 <= place < self.celsius.size else float("nan")


@cache
def traces() -> dict[str, Trace]:
    """All twelve probes by name."""
    rows = _rows("temperatures.csv")
    days = np.array([_days(row["at"]) for row in rows])
    return {
        name.split()[0]: Trace(name.split()[0], days, np.array([float(row[name] or "nan") for row in rows]))
        for name in rows[0]
        if name != "at"
    }


@cache
def weather() -> tuple[Array, Array]:
    """Days since building and the air beside the stack, each (hours,). [degC]"""
    rows = _rows("weather.csv")
    return np.array([_days(row["at"]) for row in rows]), np.array([float(row["air [degC]"] or "nan") for row in rows])


def air_of_day(days: float) -> float:
    """Mean air of the 24 hours up to a moment. [degC]"""
    at, air = weather()
    return float(np.nanmean(air[(at > days - 1.0) & (at <= days)]))


def origins(trace: Trace) -> list[float]:
    """Moments at which a forecast is asked for: every other day while the probe reads and three days are to come."""
    first = READ_AT_HOUR / 24.0 - (BUILT.hour + BUILT.minute / 60.0) / 24.0
    wanted = np.arange(first + FIRST_ORIGIN_DAYS, float(trace.days[-REMOVED_HOURS - 1]) - 2.9, EVERY_DAYS)
    return [float(day) for day in wanted if np.isfinite(trace.at(day)) and np.isfinite(trace.at(day + 3.0))]


def told(trace: Trace, days: float, *, log_days: int = LOG_DAYS, mix: bool = True) -> dict[str, Any]:
    """The status as a grower with this one probe would have told it, read once a day.

    Parameters
    ----------
    days
        Since building.
    log_days
        How far back the log goes; 0 for a single reading.
    mix
        Whether it is told that the heap is poultry litter.
    """
    now = BUILT + timedelta(days=days)
    pile: dict[str, Any] = {"age": round(days, 2), "size": {"mass": "22 t"}, "cover": cover_at(now)}
    if mix:
        pile["ingredients"] = [{"material": "poultry litter", "amount": "22 t", "moisture": MOISTURE}]
    history = [
        {"at": (now - timedelta(days=back)).isoformat(), "core": trace.at(days - back)}
        for back in range(log_days, 0, -1)
        if np.isfinite(trace.at(days - back))
    ]
    body: dict[str, Any] = {
        "as_of": now.isoformat(),
        "pile": pile,
        "equipment": [],
        "temperatures": {"core": trace.at(days), "outdoor": round(air_of_day(days), 1)},
    }
    return body | ({"history": history} if history else {})


def cover_at(moment: datetime) -> str:
    """What lay over the stack."""
    return "tarp" if COVERED <= moment < UNCOVERED else "none"


def _rows(name: str) -> list[dict[str, str]]:
    with (FOLDER / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _days(at: str) -> float:
    return (datetime.fromisoformat(at).replace(tzinfo=UTC) - BUILT).total_seconds() / 86_400.0
