"""How the heap loses heat to air, sky and ground, gains from sun and rain, and breathes; and what covers change.

Snow insulates too, but published conductivities of like snow differ by a factor of two: no number is given for it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import ArrayLike

from service.heat.physics.arrays import Array
from service.heat.physics.spread import numbers, points
from service.units.estimate import WATER_DENSITY
from service.units.figures import figure

CoverName = Literal["none", "clear_film", "tarp", "breathable", "straw"]

SOLID_DENSITY: Final = figure(1500.0, "kg/m3", "Of dry matter without pores", "from memory")
AIR_DENSITY: Final = figure(1.2, "kg/m3", "Of air about a heap", "from memory")
AIR_VISCOSITY: Final = figure(1.8e-5, "Pa.s", "Of air about a heap", "from memory")
AIR_KELVIN: Final = figure(300.0, "K", "Buoyancy of warm air goes as the difference over this", "derived")
GRAVITY: Final = figure(9.81, "m/s2", "Standard gravity, rounded", "from memory")
GROUND_FILM: Final = figure(1.5, "W/(m2.K)", "From moist soil of 1.0 to 1.5 W/(m.K)", "from memory")
REFERENCE_AIR_SPACE: Final = figure(
    0.4, "1", "Permeability is meant at this free air space and grows as its cube", "no source"
)
DRAUGHT_LIMIT_PER_S: Final = figure(
    0.002, "kg/(s.m3)", "A bound on the natural draught of each cubic metre of heap", "no source"
)
RAIN_CAUGHT: Final = figure(0.8, "1", "Share of the rain on the exposed surface that goes in", "no source")


@dataclass(frozen=True, slots=True)
class CoverEffect:
    """What a cover does. No source for any of it: our judgement; an effect of film has no sure sign.

    Parameters
    ----------
    resistance
        Added thermal resistance. [m2 K/W]
    vapour_returned
        Share of the vapour that condenses under the cover and drips back. [1]
    draught_left
        Share of the natural draught that remains. [1]
    sun_beneath, sun_on_top
        Share of the sunshine absorbed under the resistance (through a clear cover) and outside it. [1]
    rain_let_in
        Share of the caught rain that passes. [1]
    draught_doubt
        By how much the share of the draught may be more or less. [1]
    """

    resistance: float
    vapour_returned: float
    draught_left: float
    sun_beneath: float
    sun_on_top: float
    rain_let_in: float
    draught_doubt: float = 0.0


FILM_DRAUGHT_LEFT: Final = figure(
    (0.7, 0.3),
    "1",
    "Share of the draught that is left under film, and its doubt. All of it may be left under film laid "
    "as our texts say, with its ridge open: by the orifice equation (ASHRAE Handbook - Fundamentals, "
    "infiltration, from memory) the draught of a 10 m3 heap, some 0.3 g/s, passes a gap of 2 mm along 10 "
    "m of edge at 0.0002 Pa, where 40 K over 1.5 m drive it with 2 Pa. Where film lies flat it shuts the "
    "skin; how much of it nobody knows, and the doubt is our own",
    "no source",
)
TIGHT_FILM_DRAUGHT_LEFT: Final = figure(
    0.2,
    "1",
    "Share of the draught left where film is laid badly, weighed down all around with hardly a gap",
    "no source",
)
COVERS: Final = figure(
    {
        "none": CoverEffect(0.0, 0.0, 1.0, 0.7, 0.0, 1.0),
        "clear_film": CoverEffect(0.15, 0.6, FILM_DRAUGHT_LEFT[0], 0.6, 0.0, 0.0, FILM_DRAUGHT_LEFT[1]),
        "tarp": CoverEffect(0.10, 0.5, 0.3, 0.0, 0.7, 0.0),
        "breathable": CoverEffect(0.05, 0.2, 0.8, 0.0, 0.5, 0.3),
        "straw": CoverEffect(1.5, 0.2, 0.8, 0.0, 0.6, 0.8),
    },
    "m2.K/W, 1",
    "What each cover does, by the fields of `Cover`",
    "no source",
)


WRAP_RESISTANCE: Final = figure(
    1.0,
    "m2.K/W",
    "Of a thick wrap about the sides of a covered heap: less than straw all over, for the top stays as it is",
    "no source",
)
WRAP_DRAUGHT_LEFT: Final = figure(
    0.8, "1", "Share of the draught that such a wrap leaves of what the cover lets through", "no source"
)
WRAP_RAIN_LET_IN: Final = figure(
    0.8, "1", "Share of the rain that such a wrap leaves of what the cover lets through", "no source"
)


def wrapped(cover: CoverEffect) -> CoverEffect:
    """The same cover with a thick wrap about the sides; what lies on top of the heap stays."""
    return CoverEffect(
        cover.resistance + WRAP_RESISTANCE,
        cover.vapour_returned,
        cover.draught_left * WRAP_DRAUGHT_LEFT,
        cover.sun_beneath,
        cover.sun_on_top,
        cover.rain_let_in * WRAP_RAIN_LET_IN,
        cover.draught_doubt * WRAP_DRAUGHT_LEFT,
    )


def cover_of(name: CoverName, *, wrap: bool = False) -> CoverEffect:
    """A cover by name, with a wrap about it or without; a wrap about a bare heap is straw all over."""
    if not wrap or name == "straw":
        return COVERS[name]
    return COVERS["straw"] if name == "none" else wrapped(COVERS[name])


def draught_left(covers: Sequence[CoverEffect], n: int) -> Array:
    """Share of the draught that is left under each cover, spread over its doubt, (covers, n). [1]"""
    left, doubt = (numbers(getattr(cover, name) for cover in covers) for name in ("draught_left", "draught_doubt"))
    result: Array = left + doubt * points("film", n).between(-1.0, 1.0)
    return result


STILL_FILM: Final = figure(5.8, "W/(m2.K)", "Heat transfer by still air: McAdams and Juerges", "from memory")
FILM_BY_WIND: Final = figure(3.9, "J/(m3.K)", "More of it for each m/s: the same, under 5 m/s", "from memory")
LONG_WAVE: Final = figure(4.5, "W/(m2.K)", "Long-wave exchange, linearised at 0 degC: Stefan and Boltzmann", "derived")


def surface_film(wind_m_s: ArrayLike) -> Array:
    """Heat transfer outside the heap by wind and linear long-wave exchange with the surroundings. [W/(m2 K)]

    STILL_FILM + FILM_BY_WIND v + LONG_WAVE.
    """
    wind = np.asarray(wind_m_s, dtype=np.float64)
    if np.any(wind < 0.0):
        raise ValueError("wind speed must not be below 0 m/s")
    return STILL_FILM + FILM_BY_WIND * wind + LONG_WAVE


def surface_conductance(node_to_surface: Array, film: Array, cover_resistance: Array, area_m2: Array) -> Array:
    """Conductance from the outermost node through surface and cover to the air. [W/K]"""
    result: Array = area_m2 / (area_m2 / node_to_surface + 1.0 / film + cover_resistance)
    return result


def ground_conductance(node_to_surface: Array, area_m2: Array) -> Array:
    """Conductance from the outermost node into the ground. [W/K]"""
    result: Array = area_m2 / (area_m2 / node_to_surface + 1.0 / GROUND_FILM)
    return result


def sun_lift(sun_w_m2: Array, film: Array, resistance: Array, beneath: Array, on_top: Array) -> Array:
    """By how much sunshine lifts the temperature the surface sees (sol-air). [K]

    Sun absorbed under a clear cover must leave through the cover too, so it lifts more than sun absorbed on top.
    """
    result: Array = sun_w_m2 * (beneath * (1.0 / film + resistance) + on_top / film)
    return result


def draught_coefficient(permeability_m2: Array, area_m2: Array, draught_left: Array) -> Array:
    """Natural draught per kelvin of warmth over the outdoor air, at the reference air space. [kg/(s K)]

    Darcy flow driven by buoyancy over one height: rho^2 g K A / (mu T).
    """
    per_area = AIR_DENSITY**2 * GRAVITY / (AIR_VISCOSITY * AIR_KELVIN)
    result: Array = per_area * permeability_m2 * area_m2 * draught_left
    return result


FREE_WATER_RATIO: Final = figure(
    0.25, "kg/kg", "Water per dry matter below which the vapour pressure falls in proportion", "no source"
)


def wetness(water_kg: Array, dry_kg: Array) -> Array:
    """Share of the full vapour pressure over material that holds so much water. [1]"""
    result: Array = np.minimum(water_kg / (FREE_WATER_RATIO * dry_kg), 1.0)
    return result


def air_space(dry_kg: Array, water_kg: Array, volume_m3: Array) -> Array:
    """Free air space, share of the volume: what solids of 1500 kg/m3 and water leave. Can be negative. [1]

    Agrees within 0.015 with the handbook form that takes 1600 for organic and 2500 kg/m3 for mineral matter.
    """
    result: Array = 1.0 - (dry_kg / SOLID_DENSITY + water_kg / WATER_DENSITY) / volume_m3
    return result
