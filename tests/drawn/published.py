"""Drawn heaps that are published or told, beside what `/sizing` tells of such a heap.

What was not told is assumed and said so. Where a report lies above the told range, the answer itself says that
builders report more.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any, Final

from service.planning.shapes.sizing import SizingRequest
from service.planning.sizing import answer_sizing
from service.status.reading import read_model

BUILDER: Final = "a builder's account: common practice, no source"
MAGAZINE: Final = "magazine, 1980: common practice, no source"
GRANT: Final = "SARE FW15-057 (read)"
WINTER: Final = [
    {"month": month, "low": low, "high": high}
    for month, low, high in (
        ("september", 8, 18),
        ("october", 4, 13),
        ("november", 0, 7),
        ("december", -3, 4),
        ("january", -4, 3),
        ("february", -3, 5),
        ("march", 0, 10),
        ("april", 4, 15),
    )
]
"""A cold temperate winter, assumed for all."""


@dataclass(frozen=True, slots=True)
class Report:
    """A drawn heap: what was told to the service, what was reported [W], and how the two compare.

    `low_w` and `high_w` are equal where the report is a least figure.
    """

    heap: str
    told: str
    body: dict[str, Any]
    low_w: float
    high_w: float
    verdict: str
    source: str

    def season_w(self) -> tuple[float, float, float]:
        """Low, middle and high of the season draw told. [W]"""
        draw = _answer(self.heap)["gives"]["season_draw"]
        scale = {"W": 1.0, "kW": 1000.0}[draw["unit"]]
        return draw["low"] * scale, draw["value"] * scale, draw["high"] * scale

    def found(self) -> str:
        """Whether the told range meets what was reported."""
        low, _, high = self.season_w()
        return "outside: told less" if high < self.low_w else "outside: told more" if low > self.high_w else "held"

    def says_so(self) -> bool:
        """Whether the answer says that builders report more."""
        return any("Builders report more" in note["text"] for note in _answer(self.heap)["notes"])


def _body(volume_m3: float, chips: float, manure: float, until: str, **more: Any) -> dict[str, Any]:
    mix = [{"material": "wood_chips", "share": chips}, {"material": "horse_manure", "share": manure}]
    return {
        "heat": {"power": "20 kW"},
        "period": {"start": "2025-10-21", "until": until},
        "mix": mix,
        "feed": False,
        "largest": {"volume": volume_m3},
        "outdoor": {"monthly": WINTER},
        "equipment": ["water_loop"],
        **more,
    }


REPORTS: Final = (
    Report(
        "11 m3 of chips, 3 of manure, a loop",
        "6 months, switched at 40 and 55 degC",
        _body(14.0, 11, 3, "2026-04-19"),
        390.0,
        390.0,
        "held",
        BUILDER,
    ),
    Report(
        "four of chips to one of manure, 49 degC for 5.5 weeks",
        "39 days, 30 m3 and a limit of 45 degC assumed; some heat was drawn, nobody knows how much",
        _body(30.0, 4, 1, "2025-11-28", keep_core_above=45),
        1.0,
        1e4,
        "held",
        MAGAZINE,
    ),
    Report(
        "the same, dead in the middle of February",
        "117 days: it cannot be drawn so long",
        _body(30.0, 4, 1, "2026-02-14", keep_core_above=45),
        0.0,
        0.0,
        "held",
        MAGAZINE,
    ),
    Report(
        "heater walled with straw, 4 m wide, 2.1 m high",
        "October to February, 26 m3: warm, but too little heat was delivered",
        _body(26.0, 3, 1, "2026-02-28", cover="straw"),
        0.0,
        500.0,
        "held",
        GRANT,
    ),
)


@cache
def _answer(heap: str) -> dict[str, Any]:
    body = next(report.body for report in REPORTS if report.heap == heap)
    return answer_sizing(read_model(body, SizingRequest, "the request")).model_dump()


def reports_shown() -> str:
    """The table. What is published of recovery per dry matter and of a farmhouse stands in `tests/physics`."""
    lines = [f"{'drawn heap, as told':<56}{'reported W':>14}{'told W, 80 % range':>26}  compares"]
    for each in REPORTS:
        low, middle, high = each.season_w()
        reported = f"{each.low_w:g}" if each.low_w == each.high_w else f"{each.low_w:g}-{each.high_w:g}"
        said = ", and the answer says so" if each.says_so() else ""
        told = f"{middle:.0f} ({low:.0f} to {high:.0f})"
        lines += [f"{each.heap:<56}{reported:>14}{told:>26}  {each.found()}{said} ({each.source})", f"  {each.told}"]
    return "\n".join(lines)
