"""How the model carries out each action it knows: the same members after it."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType
from typing import Final

import numpy as np

from service.actions.dosing.records import Dose
from service.heat.physics.arrays import Array, flow_or_usual
from service.heat.physics.cures import FRESH_MIX, WATER_WANTED, WELL_FED
from service.heat.physics.ledger import FAN_KG_S, PUMP_KG_S
from service.heat.physics.losses import (
    TIGHT_FILM_DRAUGHT_LEFT,
    WRAP_DRAUGHT_LEFT,
    WRAP_RAIN_LET_IN,
    WRAP_RESISTANCE,
)
from service.heat.physics.members import members
from service.heat.physics.piles import WATER_HEAT, Piles, PileState, dry_matter, with_cover
from service.heat.physics.spread import points
from service.units.estimate import Estimate, PileEstimate
from service.units.figures import figure

ADDED_WATER_C: Final = figure(10.0, "degC", "Of water that is poured on a heap in winter", "no source")
WATER_REACHES: Final = figure(
    (0.3, 0.9), "1", "Share of the heap that poured water really reaches, between these bounds", "no source"
)
NITROGEN_REACHES: Final = figure(
    (0.1, 0.6), "1", "Share of the heap that feed really reaches, between these bounds", "no source"
)
LOOSER: Final = figure(
    (1.0, 2.0), "1", "Factor on permeability at the same air space of a heap that was laid back loosely", "no source"
)
ROOMIER: Final = figure((1.05, 1.15), "1", "Factor on its volume", "no source")
FREED: Final = figure(
    (1.0, 1.8),
    "1",
    "Factor on the pace of decay where air comes back to clumps that had none. The model has one air for "
    "the whole heap and cannot see clumps, so this is assumed of a heap that is said to lack air, and no "
    "finding",
    "no source",
)
WARMTH_KEPT: Final = figure(
    (0.65, 0.9),
    "1",
    "Share of its warmth over freezing that a heap keeps while it is opened, a layer at a time (a turned "
    "heap is said to lose some 5-15 K of 60 and to win them back within days)",
    "no source",
)
VENT_DRAUGHT: Final = figure(0.6, "1", "Share of the free draught under film with an open ridge", "no source")
FRESH_C: Final = figure(
    10.0, "degC", "How warm fresh matter comes to the heap, where no air outside was told", "no source"
)

MembersChange = Callable[[Piles, PileState, Sequence[Dose]], tuple[Piles, PileState]]


def _watered(piles: Piles, state: PileState, doses: Sequence[Dose]) -> tuple[Piles, PileState]:
    dry = dry_matter(piles, state)
    wanted = np.maximum(dry * WATER_WANTED / (1 - WATER_WANTED) - state.water_kg, 0.0)
    added = wanted * points("water_reach", piles.rate.size).between(*WATER_REACHES)
    heat = WATER_HEAT * added * ADDED_WATER_C
    return piles, replace(state, water_kg=state.water_kg + added, enthalpy_j=state.enthalpy_j + heat)


def _fed(piles: Piles, state: PileState, doses: Sequence[Dose]) -> tuple[Piles, PileState]:
    reach = points("feed_reach", piles.rate.size).between(*NITROGEN_REACHES)
    better = piles.nitrogen + reach * np.maximum(WELL_FED - piles.nitrogen, 0.0)
    return replace(piles, nitrogen=better), state


def _loosened(piles: Piles, state: PileState, doses: Sequence[Dose]) -> tuple[Piles, PileState]:
    looser = points("permeability", piles.rate.size).between(*LOOSER)
    kept = points("warmth_kept", piles.rate.size).between(*WARMTH_KEPT)
    roomier = points("room_gained", piles.rate.size).between(*ROOMIER)
    opened = replace(
        piles,
        permeability_m2=piles.permeability_m2 * looser,
        volume_m3=piles.volume_m3 * roomier,
        rate=piles.rate * points("freed", piles.rate.size).between(*FREED),
    )
    return opened, replace(state, enthalpy_j=state.enthalpy_j * kept)


def _set_draw(piles: Piles, doses: Sequence[Dose], pick: Callable[[Array, float], Array]) -> Piles:
    """Set fan and pump to the minutes of the doses; `pick` keeps the change to one direction.

    Where hours are dosed too, longer runs may go with shorter days: then the minutes are taken as they are.
    """
    changed = {}
    if any(dose.of == "hours_per_day" for dose in doses):
        pick = np.full_like
    for dose in doses:
        if dose.of == "air_minutes_per_hour":
            changed["air_share"] = pick(piles.air_share, dose.value / 60)
        if dose.of == "water_minutes_per_hour":
            changed["water_hour_share"] = pick(piles.water_hour_share, dose.value / 60)
        if dose.of == "hours_per_day":
            changed["water_day_share"] = np.full(piles.rate.size, dose.value / 24)
    return replace(piles, **changed)


def _drawn_less(piles: Piles, state: PileState, doses: Sequence[Dose]) -> tuple[Piles, PileState]:
    return _set_draw(piles, doses, np.minimum), state


def _drawn_more(piles: Piles, state: PileState, doses: Sequence[Dose]) -> tuple[Piles, PileState]:
    """The same with longer runs; pump or fan that is off, or was not told, begins as strong as is usual."""
    raised = _set_draw(piles, doses, np.maximum)
    timers = {dose.of for dose in doses}
    if "water_minutes_per_hour" in timers:
        flow = flow_or_usual(piles.water_flow_kg_s, PUMP_KG_S)
        all_day = np.where(raised.water_day_share > 0.0, raised.water_day_share, 1.0)
        raised = replace(raised, water_flow_kg_s=flow, water_day_share=all_day)
    if "air_minutes_per_hour" in timers:
        raised = replace(raised, air_flow_kg_s=flow_or_usual(piles.air_flow_kg_s, FAN_KG_S))
    return raised, state


def _paused(piles: Piles, state: PileState, doses: Sequence[Dose]) -> tuple[Piles, PileState]:
    """For the days of the dose; to the end where none is told, since what asks for it then names no day."""
    days = next((dose.value for dose in doses if dose.of == "pause_days"), math.inf)
    return replace(piles, draw_from_day=np.full(piles.rate.size, days)), state


def _vented(piles: Piles, state: PileState, doses: Sequence[Dose]) -> tuple[Piles, PileState]:
    return replace(piles, draught_left=np.maximum(piles.draught_left, VENT_DRAUGHT)), state


def _filmed(piles: Piles, state: PileState, doses: Sequence[Dose]) -> tuple[Piles, PileState]:
    """Film over what lies there: straw or a wrap stays. It is taken as laid badly, so that no more is promised."""
    filmed = with_cover(piles, "clear_film", wrap=_is_wrapped(piles))
    tight = TIGHT_FILM_DRAUGHT_LEFT * (WRAP_DRAUGHT_LEFT if _is_wrapped(piles) else 1.0)
    return replace(filmed, draught_left=np.minimum(filmed.draught_left, tight)), state


def _wrapped_about(piles: Piles, state: PileState, doses: Sequence[Dose]) -> tuple[Piles, PileState]:
    """A wrap about the sides, the cover left on; a second one changes nothing."""
    if _is_wrapped(piles):
        return piles, state
    covers = {
        "cover_resistance": piles.cover_resistance + WRAP_RESISTANCE,
        "draught_left": piles.draught_left * WRAP_DRAUGHT_LEFT,
        "rain_let_in": piles.rain_let_in * WRAP_RAIN_LET_IN,
    }
    bare = not piles.cover_resistance.any()
    return (with_cover(piles, "straw") if bare else replace(piles, **covers)), state


def _is_wrapped(piles: Piles) -> bool:
    return bool((piles.cover_resistance >= WRAP_RESISTANCE).all())


CHANGES: Final[Mapping[str, MembersChange]] = MappingProxyType(
    {
        "add_water": _watered,
        "add_nitrogen": _fed,
        "loosen_pile": _loosened,
        "reduce_draw": _drawn_less,
        "raise_draw": _drawn_more,
        "pause_draw": _paused,
        "open_vent_in_film": _vented,
        "cover_with_clear_film": _filmed,
        "insulate": _wrapped_about,
        "lift_cover": lambda piles, state, doses: (with_cover(piles, "none"), state),
    }
)
"""How the model carries out each action it knows."""

FRESH_SPREAD: Final = figure(
    {"moisture": 1.08, "fast": 1.5, "slow": 1.2, "cn": 1.3, "core": 1.3},
    "1",
    "Factors up and down (80 %) on what a good mix is and how warm it comes",
    "no source",
)
REBUILDS: Final = frozenset({"build_new_pile"})


def fresh_heap(estimate: PileEstimate) -> tuple[Piles, PileState]:
    """A new heap of the same mass, from a good mix, at the temperature of its materials."""
    fresh = replace(
        estimate,
        age_days=0.0,
        moisture=_around(FRESH_MIX["moisture"], FRESH_SPREAD["moisture"]),
        fast_share=_around(FRESH_MIX["fast"], FRESH_SPREAD["fast"]),
        slow_share=_around(FRESH_MIX["slow"], FRESH_SPREAD["slow"]),
        cn_degradable=_around(FRESH_MIX["cn"], FRESH_SPREAD["cn"]),
        core_c=_around(FRESH_C, FRESH_SPREAD["core"]),
        outer_c=FRESH_C,
        history=(),
    )
    piles, state, _ = members(fresh)
    return piles, state


def _around(value: float, factor: float) -> Estimate:
    return Estimate(value, value / factor, value * factor, "assumed")
