"""What a planned heap is built from, how it is laid, and where tube and duct lie, as they go out."""

from __future__ import annotations

from typing import Any, Final

from rules.materials import MATERIALS
from service.answer.quantities import round_off
from service.dosing.build import OVERLAP
from service.dosing.matter import FEEDINGS
from service.dosing.records import Amount
from service.estimate import Estimate
from service.mix.carrying import Carrying, carrying_of, laying_order, portion
from service.mix.question import by_name
from service.planning import sizing_words as words
from service.planning.layout import HeapShape, duct_layout, loop_layout
from service.planning.ranges import shown
from service.planning.sized import Sized
from service.planning.wanted import loop_inlet_c, wants_loop
from service.schema.mix import MixRequest
from service.schema.planning_sizing import SizingRequest
from service.units import System
from service.wording import in_words

COVER_SPREAD: Final = 1.15
"""Factor up and down on the skin of a heap built by hand (our own)."""


def build_list(request: SizingRequest, plan: Sized, shape: HeapShape, system: System) -> dict[str, Any]:
    """Materials with their barrow loads, nitrogen, water to soak it, film, and the order of laying."""
    carrying = carrying_of(MixRequest.model_construct(units=request.units, barrow=request.barrow))
    mix, laid = plan.wanted.mix, plan.laid_m3
    parts = [(stuff, mass * laid) for stuff, mass in mix.parts]
    materials = [_portion(part, carrying, request) for part in parts]
    urea, water = _scaled(mix.nitrogen, laid), _scaled(mix.water, laid)
    added = [(by_name(name), amount.value) for name, amount in (("urea", urea), ("water", water)) if amount.value > 0.0]
    skin = shape.skin_m2 * OVERLAP
    return {
        "materials": materials,
        "barrows": round_off(sum(each["barrows"] for each in materials)),
        "barrow": carrying.holds(carrying.barrow_m3),
        "nitrogen": None
        if urea.value <= 0.0
        else {
            "material": "urea",
            "name": MATERIALS["urea"].name,
            "amount": shown(_estimate(urea), "mass", system),
            "split": FEEDINGS,
        },
        "water": shown(_estimate(water), "water", system),
        "film": shown(Estimate(skin, skin / COVER_SPREAD, skin * COVER_SPREAD, "derived"), "area", system),
        "order": laying_order([*parts, *added], carrying),
    }


def layout_shown(request: SizingRequest, plan: Sized, shape: HeapShape, system: System) -> dict[str, Any]:
    """Loop and duct, each for the draw the heap should give."""
    draw = plan.wanted.asked_w if plan.nearest is None else max(plan.nearest.draw_w or 0.0, plan.season_w.value)
    wants_duct = not request.equipment or "air_duct" in request.equipment
    if draw <= 0.0:
        return {"loop": None, "duct": None}
    return {
        "loop": _loop(request, plan, shape, draw, system) if wants_loop(request.equipment) else None,
        "duct": _duct(plan, shape, draw, system) if wants_duct else None,
    }


def _loop(request: SizingRequest, plan: Sized, shape: HeapShape, draw_w: float, system: System) -> dict[str, Any]:
    tube = request.loop.tube if request.loop is not None and request.loop.tube is not None else "plastic"
    found = loop_layout(shape, draw_w, plan.wanted.limit_c, tube, loop_inlet_c(request))

    def length(metres: float) -> str:
        return in_words(metres, "m", system)

    text = words.TUBE.format(
        spacing=length(found.spacing_m),
        inner=length(found.from_centre_m[0]),
        outer=length(found.from_centre_m[1]),
        ground=length(found.above_ground_m),
        layers=found.layers,
        face=length(found.from_face_m),
    )
    return {
        "tube": tube,
        "length": shown(found.length_m, "length", system),
        "spacing": _exactly(found.spacing_m, system),
        "layers": found.layers,
        "from_centre": {
            "inner": _exactly(found.from_centre_m[0], system),
            "outer": _exactly(found.from_centre_m[1], system),
        },
        "from_outer_face": _exactly(found.from_face_m, system),
        "above_ground": _exactly(found.above_ground_m, system),
        "flow": shown(Estimate.exact(found.flow_kg_s), "water_flow", system),
        "while_running": shown(Estimate.exact(found.running_w), "power", system),
        "crowded": found.crowded,
        "text": text + (words.CROWDED if found.crowded else ""),
    }


def _duct(plan: Sized, shape: HeapShape, draw_w: float, system: System) -> dict[str, Any]:
    found = duct_layout(shape, draw_w, plan.wanted.limit_c)
    text = words.DUCT.format(
        rings="one ring" if found.rings == 1 else f"{found.rings} rings one above the other",
        centre=in_words(found.from_centre_m, "m", system),
        face=in_words(found.from_face_m, "m", system),
        ground=in_words(found.above_ground_m, "m", system),
    )
    return {
        "length": shown(found.length_m, "length", system),
        "rings": found.rings,
        "from_centre": _exactly(found.from_centre_m, system),
        "from_outer_face": _exactly(found.from_face_m, system),
        "above_ground": _exactly(found.above_ground_m, system),
        "flow": shown(Estimate.exact(found.flow_m3_s), "air_flow", system),
        "while_running": shown(Estimate.exact(found.running_w), "power", system),
        "text": text,
    }


def _portion(part: Any, carrying: Carrying, request: SizingRequest) -> dict[str, Any]:
    told = portion(part, carrying)
    field = told["field"]
    return {**told, "field": None if request.mix is None or field is None else field.replace("/recipe/", "/mix/")}


def _exactly(metres: float, system: System) -> dict[str, Any]:
    told = shown(Estimate.exact(metres), "length", system)
    return {"value": told["value"], "unit": told["unit"]}


def _scaled(amount: Amount, factor: float) -> Amount:
    return Amount(amount.value * factor, amount.low * factor, amount.high * factor)


def _estimate(amount: Amount) -> Estimate:
    return Estimate(amount.value, amount.low, amount.high, "derived")
