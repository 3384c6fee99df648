"""Figures that planning leans on: a value with its range, its unit and its source."""

from __future__ import annotations

from dataclasses import dataclass

from rules.language.model import Source

Three = tuple[float, float, float]
"""Central value, low, high."""


@dataclass(frozen=True, slots=True)
class PlanFigure:
    """One figure with its range, in `unit`, and who says so."""

    id: str
    value: Three
    unit: str
    meaning: str
    source: Source
