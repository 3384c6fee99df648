"""The heap a sheet is for: as asked, of a chosen size, or the nearest that can be."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta
from math import floor
from typing import Final

from service.facts.record import Derived
from service.planning.build_list import layouts_of
from service.planning.heap_size import HeapFit, Nearest, fit_heap
from service.planning.layout import DuctLayout, HeapShape, LoopLayout
from service.planning.shapes.sheet import BuildSheetRequest, Choice, Paper
from service.planning.shapes.sizing import SizingRequest
from service.planning.shapes.sizing_answer import HeapPlan
from service.planning.sizing import sizing_shown
from service.problems.json_text import JsonObject
from service.sheet.layers import Inside, Layer, layers_of
from service.units.quantities import System

TRIED: Final[tuple[Choice, ...]] = ("heat", "lead", "keep_core_above", "days")
COOLER_K: Final = 0.5
"""The core's limit is let down by this much more than was found, so that rounding does not undo it."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """Everything a sheet tells, before it is put in words or drawn.

    `asked` is the answer to the question as it was asked, `answer` that for the heap of this sheet; `chosen` is what
    gave way (None where nothing did), `heaps` how many such heaps are built.
    """

    request: BuildSheetRequest
    plan: HeapFit
    shape: HeapShape
    layers: tuple[Layer, ...]
    inside: Inside
    loop: LoopLayout | None
    duct: DuctLayout | None
    asked: HeapPlan
    answer: HeapPlan
    chosen: Choice | None
    heaps: int

    @property
    def system(self) -> System:
        """Units of the sheet."""
        return self.request.units

    @property
    def paper(self) -> Paper:
        """Paper of the PDF."""
        return paper_of(self.request)


def paper_of(request: BuildSheetRequest) -> Paper:
    """What was asked for, else what is usual where its units are."""
    return request.paper or ("letter" if request.units == "us" else "a4")


def sheet_of(request: BuildSheetRequest) -> Sheet:
    """Plan the heap of a sheet. The same request gives the same sheet."""
    derived = Derived()
    plan = fit_heap(request, derived, request.heap, compare=False)
    asked = sizing_shown(request, plan, derived)
    chosen = None if plan.nearest is None else _choice(plan.nearest, request.choose)
    again, plan, answer = _rearranged(request, plan, chosen, asked)
    shape = HeapShape(plan.laid_m3)
    mix = plan.wanted.mix
    layers, inside = layers_of(shape, [(stuff, mass * plan.laid_m3) for stuff, mass in mix.parts])
    loop, duct = layouts_of(again, plan, shape)
    heaps = plan.nearest.heaps if chosen == "heaps" and plan.nearest is not None else None
    return Sheet(request, plan, shape, layers, inside, loop, duct, asked, answer, chosen, heaps or 1)


def _choice(nearest: Nearest, wanted: Choice | None) -> Choice | None:
    """What gives way: what was wanted where it helps, else the first that does; None where nothing helps."""
    helps = {
        "heat": nearest.draw_w,
        "heaps": nearest.heaps,
        "lead": nearest.lead_days,
        "days": nearest.days,
        "keep_core_above": nearest.limit_c,
    }
    tried = TRIED if wanted is None else (wanted, *TRIED)
    return next((choice for choice in tried if helps[choice] is not None), None)


def _rearranged(
    request: BuildSheetRequest, plan: HeapFit, chosen: Choice | None, asked: HeapPlan
) -> tuple[SizingRequest, HeapFit, HeapPlan]:
    """The question with what gives way put into it, and the same heap planned for that."""
    nearest = plan.nearest
    if nearest is None or chosen in (None, "heat", "heaps"):
        return request, plan, asked
    changes: JsonObject = {}
    if chosen == "lead":
        changes = {"lead": nearest.lead_days}
    elif chosen == "keep_core_above" and nearest.limit_c is not None:
        changes = {"keep_core_above": nearest.limit_c - COOLER_K}
    elif chosen == "days" and nearest.days is not None:
        changes = _fewer_days(request, floor(nearest.days))
    again, derived = request.model_copy(update=changes), Derived()
    plan = fit_heap(again, derived, plan.laid_m3, compare=False)
    if chosen == "days":
        # The heap was found to give it for so many days; a repeated search may miss that by a hair.
        plan = replace(plan, nearest=None)
    return again, plan, sizing_shown(again, plan, derived)


def _fewer_days(request: BuildSheetRequest, days: int) -> JsonObject:
    if request.period is None:
        return {"days": float(days)}
    until = request.period.start + timedelta(days=max(days - 1, 0))
    return {"period": request.period.model_copy(update={"until": until})}
