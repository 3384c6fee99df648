"""The answer to a question about a heap to be built, as it goes out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from rules.catalogue import said
from rules.language.model import Source
from rules.language.sources import (
    BUGGELN_FIRE,
    COMMON_PRACTICE,
    HEAT_BALANCE,
    STATIC_PRUNINGS_PILE,
    WSU_AVAILABLE_CARBON,
)
from rules.tables.heap_building import HIGHEST_HEAP_M, TRADE_RATING_W_KG
from rules.tables.thresholds import HOT_FROM
from rules.version import knowledge_version
from service.answer.quantities import burst_shown, measured, read_as_shown, round_off
from service.facts.record import Derived
from service.mix.shapes.answer import Plain
from service.mix.shapes.sources import NoteTold
from service.mix.sources import mix_source_shown, notes_shown
from service.planning.build_list import build_list, layout_shown
from service.planning.heap_size import HeapFit, Nearest, OtherMixFit, fit_heap
from service.planning.layout import HeapShape
from service.planning.notes import OWN_MODEL
from service.planning.ranges import all_assumed, exactly
from service.planning.shapes.sheet import Choice
from service.planning.shapes.sizing import SizingRequest
from service.planning.shapes.sizing_answer import (
    AskedHeap,
    HeapGives,
    HeapPlan,
    HeapPlanned,
    NearestShown,
    Rating,
    RatingJudged,
)
from service.planning.shapes.sizing_answer import OtherMix as OtherMixShown
from service.planning.tape import on_tape
from service.render.numbers import quantity_in_words
from service.render.wording import in_words
from service.units.estimate import SECONDS_PER_DAY, SECONDS_PER_HOUR, Estimate, scaled
from service.units.figures import figure
from service.units.quantities import System

NOTE_SOURCES: Final[dict[str, Source]] = {
    "range": OWN_MODEL,
    "lead": OWN_MODEL,
    "standing": OWN_MODEL,
    "nitrogen": WSU_AVAILABLE_CARBON,
    "height": BUGGELN_FIRE,
    "settle": COMMON_PRACTICE,
    "film": COMMON_PRACTICE,
    "sum": HEAT_BALANCE,
    "scale": STATIC_PRUNINGS_PILE,
    "reports": COMMON_PRACTICE,
}
"""What is to be known of a planned heap, and who says so."""
JUDGED: Final[dict[str, Rating]] = {"impossible": "impossible", "burst only": "burst_only", "possible": "possible"}
"""How a verdict on a claim goes out."""

REPORTED: Final = figure(
    {"volume_m3": 14.0, "core_c": 50.0, "other_core_c": 49.0},
    "1",
    "Two drawn heaps as their builders told of them, one in a magazine in 1980 (common practice)",
    "no source",
)
REPORTED_W: Final = figure(
    390.0,
    "W",
    "What the first must have given at the least, on the mean of half a year, by what its builder told (derived)",
    "derived",
)
REPORTED_M3: Final = figure(
    (5.0, 40.0),
    "m3",
    "Sizes of drawn heaps whose builders told how long they held, as laid (common practice)",
    "no source",
)

TOLD_IN_HOURS: Final = figure(48, "h", "Longer times are told in days", "no source")


def answer_sizing(request: SizingRequest) -> HeapPlan:
    """Answer one question about a heap to be built. The same question gives the same answer."""
    derived = Derived()
    return sizing_shown(request, fit_heap(request, derived), derived)


def sizing_shown(request: SizingRequest, plan: HeapFit, derived: Derived) -> HeapPlan:
    """A heap that was sized or chosen, as it goes out."""
    system, shape = request.units, HeapShape(plan.laid_m3)
    wanted, stretch = plan.wanted, plan.wanted.stretch
    return HeapPlan(
        knowledge_version=knowledge_version(),
        units=system,
        possible=plan.possible,
        headline=_headline(plan, shape, system),
        asked=AskedHeap(
            draw=measured(Estimate.exact(wanted.asked_w), "power", system),
            days=stretch.days,
            keep_core_above=measured(Estimate.exact(wanted.limit_c), "temperature", system),
            chance=round_off(100 * wanted.chance),
            build_on=None if stretch.built is None else stretch.built.isoformat(),
            first_draw=None if stretch.first_draw is None else stretch.first_draw.isoformat(),
            last_draw=None if stretch.until is None else stretch.until.isoformat(),
        ),
        heap=_heap_shown(plan, shape, system),
        gives=_gives_shown(plan, system),
        ratings=_ratings(plan, request, system),
        nearest=[] if plan.nearest is None else _nearest_shown(plan, plan.nearest, system),
        other_mixes=[_other_shown(other, system) for other in plan.others],
        layout=layout_shown(request, plan, shape, system),
        build_list=build_list(request, plan, shape, system),
        notes=_notes(plan, request, system),
        assumed=all_assumed(derived, system),
        read_as=read_as_shown(request.read_as),
    )


def _days_in_words(days: float, system: System) -> str:
    return in_words(float(round(days)), "days", system)


def _headline(plan: HeapFit, shape: HeapShape, system: System) -> str:
    wanted = plan.wanted
    told = {
        "asked": in_words(wanted.asked_w, "W", system),
        "days": _days_in_words(wanted.stretch.days, system),
        "volume": in_words(plan.laid_m3, "m3", system, rough=True),
        "mass": in_words(plan.mass_kg, "kg", system, rough=True),
        "diameter": on_tape(2 * shape.radius_m, system),
        "height": on_tape(shape.height_m, system),
        "season": quantity_in_words(measured(plan.season_w, "power", system)),
    }
    if plan.nearest is None:
        return " ".join(said(f"heap-plan.{name}", **told) for name in ("build", "sustains"))
    nearest = _nearest_shown(plan, plan.nearest, system)
    first = nearest[0].text if nearest else said("heap-plan.nothing-helps")
    refused = said("heap-plan.not-this-heap" if plan.chosen else "heap-plan.no-heap", **told)
    return f"{refused} {first}"


def _heap_shown(plan: HeapFit, shape: HeapShape, system: System) -> HeapPlanned:
    mix, needed = plan.wanted.mix, plan.needed_m3
    volume = Estimate.exact(plan.laid_m3) if needed is None else needed
    return HeapPlanned(
        volume_as_laid=measured(volume, "volume", system),
        volume_settled=measured(scaled(volume, plan.settled_m3 / plan.laid_m3), "volume", system),
        mass=measured(scaled(volume, mix.sums.mass), "mass", system),
        shape=said("heap-plan.shape"),
        diameter=measured(Estimate.exact(2 * shape.radius_m), "length", system),
        height=measured(Estimate.exact(shape.height_m), "length", system),
        footprint=measured(Estimate.exact(shape.foot_m2), "area", system),
        moisture=round_off(100 * mix.moisture),
        carbon_that_rots_to_nitrogen=round_off(mix.sums.rotting_carbon / max(mix.sums.nitrogen, 1e-9)),
        hot_after=measured(plan.hot_after_days, "duration", system),
        chance_hot_at_first_draw=round_off(100 * plan.chance_hot),
    )


def _gives_shown(plan: HeapFit, system: System) -> HeapGives:
    seconds = plan.wanted.stretch.days * SECONDS_PER_DAY
    limit = in_words(plan.wanted.limit_c, "degC", system)
    return HeapGives(
        season_draw=measured(plan.season_w, "power", system),
        season_heat=measured(scaled(plan.season_w, seconds), "energy", system),
        chance_of_asked=round_off(100 * plan.chance_of_asked),
        chance_of_nothing=round_off(100 * plan.chance_of_nothing),
        season_text=said("heap-plan.season", limit=limit),
        burst_draw=burst_shown(plan.burst_w, plan.season_w, system),
        burst_text=said("heap-plan.burst"),
        stored=measured(plan.stored_j, "energy", system),
        chemical=measured(plan.chemical_j, "energy", system),
    )


def _ratings(plan: HeapFit, request: SizingRequest, system: System) -> list[RatingJudged]:
    """The trade's rule of thumb for this heap, and a rating that was given, each judged."""
    middle, low, high = (plan.mass_kg * per_kg for per_kg in TRADE_RATING_W_KG.value)
    days = float(plan.wanted.stretch.days)
    told = [_rating(plan, "rule-of-thumb", Estimate(middle, low, high, "assumed"), days, system)]
    claimed = request.rating
    if claimed is not None:
        told.append(_rating(plan, "yours", Estimate.exact(claimed.power), claimed.days or days, system))
    return told


def _rating(plan: HeapFit, whose: str, rating: Estimate, days: float, system: System) -> RatingJudged:
    """A rating of so many days beside what the heap sustains over them."""
    verdict = plan.judged(rating.value, days)
    season = (plan.claimed_w if whose == "yours" else plan.season_w).value
    share = verdict.claimed_j / verdict.chemical_j
    hours = plan.stored_j.value / rating.value / SECONDS_PER_HOUR
    judged = JUDGED[verdict.word]
    hours_in_words = said("heap-plan.rating.hours", count=in_words(hours, "1", system))
    times = said("heap-plan.rating.far-beyond")
    if season > 1.0:
        times = said("heap-plan.rating.times", count=in_words(rating.value / season, "1", system))
    text = said(
        f"heap-plan.rating.{judged if rating.value > season else 'possible-less'}",
        rating=in_words(rating.value, "W", system),
        days=_days_in_words(days, system),
        share=in_words(100 * share, "%", system),
        hours=in_words(hours / 24, "days", system) if hours > TOLD_IN_HOURS else hours_in_words,
        times=times,
    )
    return RatingJudged(
        whose=said(f"heap-plan.rating.{whose}"),
        power=measured(rating, "power", system),
        days=round_off(days),
        verdict=judged,
        share_of_chemical=round_off(100 * share),
        times_season_draw=round_off(rating.value / season) if season > 1.0 else None,
        text=text,
        source=mix_source_shown(TRADE_RATING_W_KG.source) if whose == "rule-of-thumb" else None,
    )


def _nearest_shown(plan: HeapFit, nearest: Nearest, system: System) -> list[NearestShown]:
    """What can be had instead, each enough by itself."""
    asked = in_words(plan.wanted.asked_w, "W", system)
    which = said("heap-plan.this-one" if plan.chosen else "heap-plan.largest")
    told: list[NearestShown] = []

    def add(change: Choice, value: Plain, text: str) -> None:
        told.append(NearestShown(change=change, value=value, text=text))

    if nearest.lead_days is not None:
        lead = _days_in_words(nearest.lead_days, system)
        add("lead", Plain(value=round_off(nearest.lead_days), unit="days"), said("heap-plan.nearest-lead", lead=lead))
    if nearest.draw_w is not None:
        draw, volume = in_words(nearest.draw_w, "W", system), in_words(plan.laid_m3, "m3", system)
        add(
            "heat",
            exactly(nearest.draw_w, "power", system),
            said("heap-plan.nearest-heat", which=which, volume=volume, draw=draw),
        )
    if nearest.heaps is not None:
        add("heaps", Plain(value=nearest.heaps, unit="1"), said("heap-plan.nearest-heaps", count=str(nearest.heaps)))
    if nearest.days is not None:
        days = _days_in_words(nearest.days, system)
        add(
            "days",
            Plain(value=round_off(nearest.days), unit="days"),
            said("heap-plan.nearest-days", which=which, asked=asked, days=days),
        )
    if nearest.limit_c is not None:
        limit = in_words(nearest.limit_c, "degC", system)
        add(
            "keep_core_above",
            exactly(nearest.limit_c, "temperature", system),
            said("heap-plan.nearest-limit", which=which, limit=limit),
        )
    return told


def _other_shown(other: OtherMixFit, system: System) -> OtherMixShown:
    needed = other.needed_m3
    return OtherMixShown(
        mix=said(f"heap-plan.mix.{other.name}"),
        season_draw=measured(other.season_w, "power", system),
        volume_needed=None if needed is None else measured(needed, "volume", system),
    )


def _notes(plan: HeapFit, request: SizingRequest, system: System) -> list[NoteTold]:
    quoted = {
        "nothing": in_words(100 * plan.chance_of_nothing, "%", system),
        "share": in_words(100 * plan.chance_hot, "%", system),
        "hot": in_words(HOT_FROM.value, "degC", system),
        "height": on_tape(HIGHEST_HEAP_M.value[0], system),
        "reported": in_words(REPORTED["volume_m3"], "m3", system),
        "held": in_words(REPORTED["core_c"], "degC", system),
        "held_too": in_words(REPORTED["other_core_c"], "degC", system),
    }
    names: Sequence[str] = ("range", "lead", "standing", "settle", "height", "sum", "scale")
    if plan.wanted.mix.nitrogen.value > 0.0:
        names = (*names, "nitrogen")
    if request.cover == "clear_film":
        names = (*names, "film")
    reported_w = REPORTED_W * plan.laid_m3 / REPORTED["volume_m3"]
    if REPORTED_M3[0] <= plan.laid_m3 <= REPORTED_M3[1] and plan.season_w.high < reported_w:
        names = (*names, "reports")
    return notes_shown((said(f"heap-plan.note.{name}", **quoted), NOTE_SOURCES[name]) for name in names)
