"""What a planned heap is built from, how it is laid, and where tube and duct lie, as they go out."""

from __future__ import annotations

from typing import Final

from rules.catalogue import said
from service.actions.dosing.build import OVERLAP
from service.actions.dosing.matter import FEEDINGS
from service.answer.quantities import measured, round_off
from service.heat.physics.water_loop import TubeMaterial
from service.mix.carrying import Carrying, carrying_of, laying_order, portion
from service.mix.matter import MixPart
from service.mix.question import by_name
from service.mix.shapes.answer import Plain, Portion
from service.mix.shapes.question import MixRequest
from service.planning.heap_size import HeapFit
from service.planning.layout import DuctLayout, HeapShape, LoopLayout, duct_layout, loop_layout
from service.planning.order import loop_inlet_c, wants_loop
from service.planning.ranges import exactly
from service.planning.shapes.layout_answer import DuctPlanned, FromCentre, HeapLayout, LoopShown
from service.planning.shapes.sizing import SizingRequest
from service.planning.shapes.sizing_answer import BuildList, FeedShown
from service.planning.tape import on_tape
from service.units.estimate import Estimate, scaled
from service.units.figures import figure
from service.units.quantities import System

COVER_SPREAD: Final = figure(1.15, "1", "Factor up and down on the skin of a heap built by hand", "no source")


def build_list(request: SizingRequest, plan: HeapFit, shape: HeapShape, system: System) -> BuildList:
    """Materials with their barrow loads, nitrogen, water to soak it, film, and the order of laying."""
    carrying = carrying_of(MixRequest.model_construct(units=request.units, barrow=request.barrow))
    mix, laid = plan.wanted.mix, plan.laid_m3
    parts = [(stuff, mass * laid) for stuff, mass in mix.parts]
    materials = [_portion(part, carrying, request) for part in parts]
    urea, water = scaled(mix.nitrogen, laid), scaled(mix.water, laid)
    added = [(by_name(name), amount.value) for name, amount in (("urea", urea), ("water", water)) if amount.value > 0.0]
    skin = shape.skin_m2 * OVERLAP
    return BuildList(
        materials=materials,
        barrows=round_off(sum(each.barrows for each in materials)),
        barrow=carrying.holds(carrying.barrow_m3),
        nitrogen=None
        if urea.value <= 0.0
        else FeedShown(
            material="urea",
            name=said("material.urea.name"),
            amount=measured(urea, "mass", system),
            split=FEEDINGS,
        ),
        water=measured(water, "water", system),
        film=measured(Estimate(skin, skin / COVER_SPREAD, skin * COVER_SPREAD, "derived"), "area", system),
        order=laying_order([*parts, *added], carrying),
    )


def layouts_of(request: SizingRequest, plan: HeapFit, shape: HeapShape) -> tuple[LoopLayout | None, DuctLayout | None]:
    """Loop and duct, each for the draw the heap should give; None where not wanted or nothing can be drawn."""
    draw, limit = plan.laid_out_w, plan.wanted.limit_c
    if draw <= 0.0:
        return None, None
    loop = loop_layout(shape, draw, limit, tube_of(request), loop_inlet_c(request))
    wants_duct = not request.equipment or "air_duct" in request.equipment
    with_loop = loop if wants_loop(request.equipment) else None
    return with_loop, duct_layout(shape, draw, limit, with_loop) if wants_duct else None


def tube_of(request: SizingRequest) -> TubeMaterial:
    """What the loop is made of; plastic where it was not said."""
    return request.loop.tube if request.loop is not None and request.loop.tube is not None else "plastic"


def layout_shown(request: SizingRequest, plan: HeapFit, shape: HeapShape, system: System) -> HeapLayout:
    """Where tube and duct lie, as it goes out."""
    loop, duct = layouts_of(request, plan, shape)
    return HeapLayout(
        loop=None if loop is None else _loop(loop, tube_of(request), system),
        duct=None if duct is None else _duct(duct, system),
    )


def _loop(found: LoopLayout, tube: TubeMaterial, system: System) -> LoopShown:
    def length(metres: float) -> str:
        return on_tape(metres, system)

    text = said(
        "heap-plan.tube",
        spacing=length(found.spacing_m),
        inner=length(found.from_centre_m[0]),
        outer=length(found.from_centre_m[1]),
        ground=length(found.above_ground_m),
        layers=_counted(len(found.layers), "layer"),
        face=length(found.from_face_m),
    )
    return LoopShown(
        tube=tube,
        length=measured(found.length_m, "length", system),
        spacing=_exactly(found.spacing_m, system),
        layers=len(found.layers),
        from_centre=FromCentre(
            inner=_exactly(found.from_centre_m[0], system),
            outer=_exactly(found.from_centre_m[1], system),
        ),
        from_outer_face=_exactly(found.from_face_m, system),
        above_ground=_exactly(found.above_ground_m, system),
        to_buy=_exactly(found.length_m.value + found.rises_m, system),
        flow=measured(Estimate.exact(found.flow_kg_s), "water_flow", system),
        while_running=measured(Estimate.exact(found.running_w), "power", system),
        crowded=found.crowded,
        text=_with_room(text, "heap-plan.tube-crowded", crowded=found.crowded),
    )


def _duct(found: DuctLayout, system: System) -> DuctPlanned:
    text = said(
        "heap-plan.duct",
        rings=_counted(found.rings, "turn"),
        spacing=on_tape(found.layers[0].pitch_m, system),
        layers=_counted(len(found.layers), "layer"),
        centre=on_tape(found.from_centre_m, system),
        face=on_tape(found.from_face_m, system),
        ground=on_tape(found.above_ground_m, system),
    )
    return DuctPlanned(
        length=measured(found.length_m, "length", system),
        rings=found.rings,
        layers=len(found.layers),
        spacing=_exactly(found.layers[0].pitch_m, system),
        from_centre=_exactly(found.from_centre_m, system),
        from_outer_face=_exactly(found.from_face_m, system),
        above_ground=_exactly(found.above_ground_m, system),
        to_buy=_exactly(found.length_m.value + found.rises_m, system),
        flow=measured(Estimate.exact(found.flow_m3_s), "air_flow", system),
        while_running=measured(Estimate.exact(found.running_w), "power", system),
        crowded=found.crowded,
        text=_with_room(text, "heap-plan.duct-crowded", crowded=found.crowded),
    )


def _counted(number: int, what: str) -> str:
    return said(f"heap-plan.one-{what}") if number == 1 else said(f"heap-plan.{what}s", count=str(number))


def _with_room(text: str, no_room: str, *, crowded: bool) -> str:
    """A layout in words, and that the heap has no room for it where that is so."""
    return f"{text} {said(no_room)}" if crowded else text


def _portion(part: MixPart, carrying: Carrying, request: SizingRequest) -> Portion:
    told = portion(part, carrying)
    field = None if request.mix is None or told.field is None else told.field.replace("/recipe/", "/mix/")
    return told.model_copy(update={"field": field})


def _exactly(metres: float, system: System) -> Plain:
    return exactly(metres, "length", system)
