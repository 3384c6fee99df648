"""The answer to a question about a house: its need, what a heap covers, what would save, and what carries the heat."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rules.catalogue import said
from rules.engine.inference import infer
from rules.version import knowledge_version
from service.actions.decision import ranked_for
from service.actions.rank import FIRE_ACTION
from service.answer.quantities import measured
from service.answer.words import FIRE_SENTENCE
from service.facts.record import Derived
from service.mix.sources import mix_source_shown
from service.picture.picture import picture_of
from service.planning.carriers import CarriedHeat, air_carried, water_carried
from service.planning.climate import Climate, climate_of, coldest_night
from service.planning.demand import Demand, coldest_need, demand_of, need_at
from service.planning.equipment import air_shown, off_grid_shown, water_shown
from service.planning.house import HouseFigure, HouseLoss, Targets, figures_of, house_loss, targets_of
from service.planning.nights import WH, house_months, nights_shown, season_shown
from service.planning.notes import house_notes
from service.planning.ranges import PER_METRE_KELVIN, all_assumed, less, per_kelvin, quantity_in_shared_unit, three
from service.planning.savings import Saving, savings_of
from service.planning.shapes.greenhouse import GreenhouseRequest, HeapHeat, When
from service.planning.shapes.greenhouse_answer import (
    ColdestNight,
    GreenhousePlan,
    Loss,
    LossFigure,
    PileOfHouse,
    SavingShown,
)
from service.planning.supply import Coverage, coverage_of, night_power, share_left, warmth_held
from service.render.shape import Quantity
from service.render.wording import in_words
from service.units.estimate import Estimate, scaled
from service.units.quantities import System


@dataclass(frozen=True, slots=True)
class HeapBeside:
    """The heap of a question: its mean draw [W], and whether it must be kept clear of."""

    draw_w: Estimate
    on_fire: bool


@dataclass(frozen=True, slots=True)
class Worked:
    """Everything worked out for one question."""

    request: GreenhouseRequest
    loss: HouseLoss
    targets: Targets
    outdoor_c: Estimate | None
    climate: Climate | None
    demand: Demand | None
    heap: HeapBeside | None
    most_w: float | None
    air: CarriedHeat | None
    water: CarriedHeat | None
    cover: Coverage | None

    @property
    def system(self) -> System:
        """Units of the answer."""
        return self.request.units


def answer_greenhouse(request: GreenhouseRequest) -> GreenhousePlan:
    """Answer one question about a house. The same question gives the same answer."""
    derived = Derived()
    found = _worked(request, derived)
    savings = [] if found.outdoor_c is None else _savings(found, found.outdoor_c)
    coldest = None if found.outdoor_c is None else _coldest_shown(found, found.outdoor_c)
    season = None if found.demand is None else season_shown(found.demand, found.cover, found.system)
    return GreenhousePlan(
        knowledge_version=knowledge_version(),
        units=found.system,
        headline=_headline(found, savings),
        loss=_loss_shown(found),
        coldest_night=coldest,
        season=season,
        months=[] if found.demand is None else house_months(found.demand, found.cover, found.system),
        nights=[] if found.demand is None else nights_shown(found.demand, found.cover, found.system),
        pile=_pile_shown(found),
        savings=[_saving_shown(saving, found.system) for saving in savings],
        air=air_shown(request, found.air, found.system),
        water=water_shown(request, found.water, found.system),
        off_grid=off_grid_shown(request, [way for way in (found.air, found.water) if way is not None]),
        notes=house_notes(request, found.climate, _night_share(found)),
        assumed=all_assumed(derived, found.system),
    )


def _worked(request: GreenhouseRequest, derived: Derived) -> Worked:
    loss, targets = house_loss(request.house, derived), targets_of(request.house, derived)
    climate = climate_of(request.outdoor, request.period)
    outdoor_c = coldest_night(request.outdoor, climate, derived)
    heap = None if request.pile is None else _heap(request.pile)
    draw_w = None if heap is None else heap.draw_w
    drawn = request.draw
    air = water = None
    if drawn is not None and drawn.air is not None:
        cold = None if outdoor_c is None else outdoor_c.value
        air = air_carried(drawn.air, targets.night_c.value, cold, draw_w, derived)
    if drawn is not None and drawn.water is not None:
        water = water_carried(drawn.water, draw_w, derived)
    demand = None if climate is None else demand_of(loss, targets, climate)
    most_w = _most_carried(air, water)
    cover = None
    if heap is not None and demand is not None:
        cover = coverage_of(demand, heap.draw_w, most_w, _when(request))
    return Worked(request, loss, targets, outdoor_c, climate, demand, heap, most_w, air, water, cover)


def _heap(pile: HeapHeat) -> HeapBeside:
    """The draw as told, or the season draw of the status; none of a heap that must be kept clear of."""
    if pile.status is None:
        assert pile.draw is not None  # the question's checks saw to it
        return HeapBeside(pile.draw, on_fire=False)
    picture = picture_of(pile.status)
    first = ranked_for(picture, infer(picture.derived.facts))[0]
    if first.action.id == FIRE_ACTION:
        return HeapBeside(Estimate.exact(0.0), on_fire=True)
    return HeapBeside(picture.accounts.season_draw, on_fire=False)


def _most_carried(air: CarriedHeat | None, water: CarriedHeat | None) -> float | None:
    """What fan and pump bring into the house together while both run [W]; None where one of them cannot be told."""
    ways = [way.to_house_w for way in (air, water) if way is not None]
    if not ways or any(way is None for way in ways):
        return None
    return sum(max(way.value, 0.0) for way in ways if way is not None)


def _when(request: GreenhouseRequest) -> When:
    assert request.pile is not None
    return request.pile.when or "when_needed"


def _below_target(found: Worked, outdoor_c: Estimate) -> Estimate:
    """Kelvins by which the coldest night lies below the target."""
    return need_at(Estimate.exact(1.0), found.targets, outdoor_c)


def _from_pile(found: Worked) -> Estimate | None:
    """What the heap brings through the coldest night. [W]"""
    if found.heap is None:
        return None
    return night_power(found.heap.draw_w, found.most_w, _when(found.request))


def _night_share(found: Worked) -> float | None:
    """Share of the coldest night's need that the heap covers, 0 to 1; None where it cannot be told."""
    given = _from_pile(found)
    if given is None or found.outdoor_c is None:
        return None
    need = coldest_need(found.loss, found.targets, found.outdoor_c).value
    return 1.0 if need <= 0.0 else min(given.value / need, 1.0)


def _coldest_shown(found: Worked, outdoor_c: Estimate) -> ColdestNight:
    system, loss = found.system, found.loss
    need = coldest_need(loss, found.targets, outdoor_c)
    given = _from_pile(found)
    used = None if given is None else three([min(given.value, need.value), given.low, min(given.high, need.high)])
    stove = None if given is None else less(need, given)
    share = None
    if given is not None:
        ends = np.array([[need.value, need.low, need.high], [given.value, given.high, given.low]])
        share = scaled(share_left(ends[0], ends[1]), 100.0)

    def power(estimate: Estimate) -> Quantity:
        return measured(estimate, "power", system)

    holds = None if given is None else warmth_held(given, loss, outdoor_c)
    return ColdestNight(
        outdoor=measured(outdoor_c, "temperature", system),
        inside=measured(found.targets.night_c, "temperature", system),
        needed=power(need),
        through_glazing=power(need_at(loss.glazing_at_night, found.targets, outdoor_c)),
        through_leaks=power(need_at(loss.leaks, found.targets, outdoor_c)),
        through_foot=None if loss.foot is None else power(need_at(loss.foot, found.targets, outdoor_c)),
        from_pile=None if used is None else power(used),
        stove=None if stove is None else power(stove),
        stove_share=None if share is None else measured(share, "percent", system),
        pile_alone_holds=None if holds is None else measured(holds, "temperature", system),
    )


def _loss_shown(found: Worked) -> Loss:
    loss, system = found.loss, found.system
    return Loss(
        by_night=per_kelvin(loss.by_night, system),
        by_day=per_kelvin(loss.by_day, system),
        glazing=per_kelvin(loss.glazing, system),
        leaks=per_kelvin(loss.leaks, system),
        foot=None if loss.foot is None else per_kelvin(loss.foot, system),
        figures=[_figure_shown(figure, system) for figure in figures_of(found.request.house)],
    )


def _figure_shown(figure: HouseFigure, system: System) -> LossFigure:
    """One figure in the reader's units, with who says so."""
    if figure.what == "u_value":
        amount = measured(figure.estimate, "u_value", system)
    elif figure.what == "air_changes":
        amount = quantity_in_shared_unit(figure.estimate, "1/h")
    elif figure.what == "foot":
        amount = quantity_in_shared_unit(figure.estimate, *PER_METRE_KELVIN[system])
    else:
        amount = measured(scaled(figure.estimate, 100.0), "percent", system)
    source = None if figure.source is None else mix_source_shown(figure.source)
    return LossFigure(what=figure.what, amount=amount, source=source)


def _pile_shown(found: Worked) -> PileOfHouse | None:
    if found.heap is None:
        return None
    most = None if found.most_w is None else measured(Estimate.exact(found.most_w), "power", found.system)
    return PileOfHouse(
        draw=measured(found.heap.draw_w, "power", found.system),
        when=_when(found.request),
        most_carried=most,
        keep_clear=found.heap.on_fire,
    )


def _savings(found: Worked, outdoor_c: Estimate) -> list[Saving]:
    below = _below_target(found, outdoor_c)
    return savings_of(found.request.house, found.loss, below, found.demand, found.system)


def _saving_shown(saving: Saving, system: System) -> SavingShown:
    season = saving.season_wh
    return SavingShown(
        measure=saving.measure,
        title=saving.title,
        coldest_night=measured(saving.coldest_w, "power", system),
        season=None if season is None else measured(scaled(season, WH), "energy", system),
        text=saving.text,
        source=mix_source_shown(saving.source),
    )


def _headline(found: Worked, savings: list[Saving]) -> str:
    """The answer in a few sentences."""
    system = found.system
    told = [FIRE_SENTENCE] if found.heap is not None and found.heap.on_fire else []
    if found.outdoor_c is None:
        return " ".join([*told, said("house.no-night")])
    need = coldest_need(found.loss, found.targets, found.outdoor_c)
    cold = in_words(found.outdoor_c.value, "degC", system)
    told.append(
        said("house.needs", cold=cold, need=in_words(need.value, "W", system))
        if need.value > 0.0
        else said("house.needs-none", cold=cold)
    )
    share, given = _night_share(found), _from_pile(found)
    if share is not None and given is not None and need.value > 0.0:
        words = {
            "given": in_words(min(given.value, need.value), "W", system),
            "share": in_words(100 * share, "%", system),
        }
        told.append(said("house.carries" if share >= 1.0 else "house.covers-part", **words))
    if savings and need.value > 0.0:
        best = savings[0]
        saved = in_words(best.coldest_w.value, "W", system)
        told.append(said("house.would-save", title=best.title, saved=saved))
    return " ".join(told)
