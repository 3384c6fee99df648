"""The 88 bin batches of 2024: what was fed, how warm they became, and what a grower would have told on the first day.

Data: Lytras et al., Waste and Biomass Valorization 2024, repository vaslyb/compost, Apache-2.0; see `data/README.md`.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Final

FILE: Final = Path(__file__).with_name("data") / "bin_batches_2024" / "batches.csv"
FEEDS: Final = {
    "Biowaste Feed": "food_scraps",
    "Prunning Feed": "prunings",
    "Recycled Compost Feed": "finished_compost",
    "Sawdust Feed": "sawdust",
    "Leaf Feed": "leaves",
}


@dataclass(frozen=True, slots=True)
class Batch:
    """One batch: kilograms fed of each material, ambient, mean and highest temperature [degC], and days."""

    number: int
    fed_kg: dict[str, float]
    ambient_c: float
    mean_c: float
    highest_c: float
    days: float

    @property
    def judging(self) -> bool:
        """Whether it is kept for judging."""
        return self.number % 2 == 0

    def told(self) -> dict[str, Any]:
        """The status on the day it was filled: the materials at the warmth of the place."""
        fed = [{"material": name, "amount": f"{kg:g} kg"} for name, kg in self.fed_kg.items() if kg > 0.0]
        return {
            "as_of": "2024-01-01T09:00:00Z",
            "pile": {"age": 0, "ingredients": fed, "size": {"mass": f"{sum(self.fed_kg.values()):g} kg"}},
            "equipment": [],
            "temperatures": {"core": self.ambient_c, "outdoor": self.ambient_c},
        }


@cache
def batches() -> tuple[Batch, ...]:
    """All batches whose temperatures were written down."""
    with FILE.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return tuple(_batch(row) for row in rows if row["Max Temperature"] and row["Ambient Temperature"])


def _batch(row: dict[str, str]) -> Batch:
    return Batch(
        number=int(row["ID"]),
        fed_kg={material: _number(row[name]) for name, material in FEEDS.items()},
        ambient_c=_number(row["Ambient Temperature"]),
        mean_c=_number(row["Mean Temperature"]),
        highest_c=_number(row["Max Temperature"]),
        days=_number(row["Duration"]),
    )


def _number(text: str) -> float:
    return float(text.replace(",", ".") or "0")
