"""Names of the flows of heat and water, and a table that holds one number per flow and pile."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from service.heat.physics.arrays import Array
from service.heat.physics.piles import PileColumns

# Heat: "made" by decay; "sun" and "rain" come in; the others go out. Stored = made + sun + rain - the others.
HEAT_IN: Final = ("made", "sun", "rain")
HEAT_LOST: Final = ("surface", "long_wave", "ground", "draught", "evaporation", "drainage")
HEAT_DRAWN: Final = ("air_sensible", "air_latent", "water", "fixed")
HEAT: Final = HEAT_IN + HEAT_LOST + HEAT_DRAWN

# Water: "decay" makes it and "rain" brings it; the others go out.
WATER_IN: Final = ("decay", "rain_water")
WATER_OUT: Final = ("evaporated", "drained", "air_carried")
WATER: Final = WATER_IN + WATER_OUT

_HEAT_ROW: Final = {name: row for row, name in enumerate(HEAT)}
_WATER_ROW: Final = {name: row for row, name in enumerate(WATER)}


@dataclass(frozen=True, slots=True)
class FlowEntries(PileColumns):
    """Every flow by name, as `entries["made"]`, each (n,): rates in W and kg/s, or totals in J and kg."""

    heat: Array
    water: Array

    @classmethod
    def zeros(cls, n: int) -> FlowEntries:
        """An empty table for n piles."""
        return cls(np.zeros((len(HEAT), n)), np.zeros((len(WATER), n)))

    @classmethod
    def of(cls, flows: dict[str, Array]) -> FlowEntries:
        """The table of these flows; all names are needed."""
        n = flows["made"].shape[-1]
        heat, water = np.empty((len(HEAT), n)), np.empty((len(WATER), n))
        for row, name in enumerate(HEAT):
            heat[row] = flows[name]
        for row, name in enumerate(WATER):
            water[row] = flows[name]
        return cls(heat, water)

    def __getitem__(self, name: str) -> Array:
        """The flow of this name."""
        row: Array = self.heat[_HEAT_ROW[name]] if name in _HEAT_ROW else self.water[_WATER_ROW[name]]
        return row

    def add(self, other: FlowEntries) -> None:
        """Add others to these, flow by flow, in place."""
        np.add(self.heat, other.heat, out=self.heat)
        np.add(self.water, other.water, out=self.water)

    def __add__(self, other: FlowEntries) -> FlowEntries:
        """Both together, flow by flow."""
        return FlowEntries(self.heat + other.heat, self.water + other.water)

    def scaled(self, factor: float | Array) -> FlowEntries:
        """Every flow times a factor: rates times seconds are totals."""
        return FlowEntries(self.heat * factor, self.water * factor)

    def sum(self, *names: str) -> Array:
        """The sum of several flows of one kind."""
        result: Array = np.add.reduce([self[name] for name in names])
        return result

    @property
    def ground_and_air(self) -> Array:
        """Heat lost to air, sky and ground without evaporation, sunshine taken off. Can be below zero."""
        return self.sum("surface", "long_wave", "ground", "draught") - self["sun"]

    @property
    def drawn(self) -> Array:
        """Heat drawn by air and water."""
        result: Array = np.add.reduce(self.heat[-len(HEAT_DRAWN) :])
        return result

    @property
    def stored(self) -> Array:
        """Heat stored: everything in less everything out."""
        result: Array = self.heat[: len(HEAT_IN)].sum(axis=0) - self.heat[len(HEAT_IN) :].sum(axis=0)
        return result

    @property
    def water_gained(self) -> Array:
        """Water gained: everything in less everything out."""
        result: Array = self.water[: len(WATER_IN)].sum(axis=0) - self.water[len(WATER_IN) :].sum(axis=0)
        return result
