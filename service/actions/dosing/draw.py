"""Doses of the draw: how many minutes in the hour, or how long to leave it off."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from rules.tables.thresholds import FIRE_OVERHEATING
from service.actions.dosing.records import Dose, DoseInputs
from service.heat.physics.piles import DRY_MATTER_HEAT, WATER_HEAT
from service.picture.drawplan.quick_plan import SMALL_STEP
from service.units.estimate import MINUTES_PER_HOUR, SECONDS_PER_DAY, AirDraw, Estimate, WaterDraw, ranged, scaled
from service.units.figures import figure
from service.units.table import Dimension

REDUCED_BLINDLY: Final = figure(
    Estimate(0.50, 0.25, 0.75, "assumed"),
    "1",
    "Step down where the heat drawn or the season draw is not known (common practice)",
    "no source",
)
RAISED_BLINDLY: Final = figure(
    Estimate(1.25, 1.10, 1.50, "assumed"), "1", "Step up where these are not known (common practice)", "no source"
)
LEAST_CUT: Final = figure(
    0.75,
    "1",
    "A cut of less than a quarter is lost in the weather, so none smaller is advised (common practice)",
    "no source",
)
MOST_LEFT: Final = figure(
    0.9,
    "1",
    "The range of a lower setting ends a tenth below the present one: nearer it would not be a change",
    "no source",
)
LEAST_RISE: Final = figure(1.1, "1", "The range of a higher one begins a tenth above it", "no source")
FIRST_MINUTES: Final = figure(
    Estimate(10.0, 5.0, 15.0, "assumed"),
    "min",
    "Minutes in the hour to begin with where the draw is off (common practice)",
    "no source",
)

PART_OF_MADE: Final = figure(
    Estimate(0.5, 0.25, 0.75, "assumed"),
    "1",
    "Part of the heat made that a heap with nothing to spare for the season can still give for a while, "
    "where it makes so much more than it loses",
    "no source",
)

SHORTEST_PULSE: Final = figure(
    Estimate(2.0, 1.0, 3.0, "assumed"),
    "1",
    "Minutes in the hour below which a pump or fan hardly clears its own pipe (common practice)",
    "no source",
)

PAUSE_DAYS: Final = figure(
    Estimate(5.0, 3.0, 7.0, "assumed"),
    "days",
    "A pause is three to seven days, then the core is read again (common practice)",
    "no source",
)
LONGEST_PAUSE_DAYS: Final = figure(
    14.0, "days", "No pause is longer: then the core is read again (common practice)", "no source"
)
RESTART_MARGIN_K: Final = figure(
    5.0, "K", "How far above the goal's limit the core should climb before the draw goes on again", "no source"
)


PLANNED_SPREAD: Final = figure(
    Estimate(1.0, 0.7, 1.3, "assumed"),
    "1",
    "A timer need not be set closer than this to the plan's minutes",
    "no source",
)

_PUMP: Final = "water_minutes_per_hour"
_FAN: Final = "air_minutes_per_hour"
_OF_WAY: Final = {"water": _PUMP, "air": _FAN}


@dataclass(frozen=True, slots=True)
class _Setting:
    """One draw: what its dose is called, its minutes in the hour, what it takes on average [W], and its flow.

    The flow is in kg/s of water or m3/s of air.
    """

    of: str
    minutes: float
    drawn_w: float | None
    flow: float
    hours: float = 24.0


def reduce_draw(pile: DoseInputs) -> list[Dose]:
    """Minutes in the hour at which the heat drawn equals the season draw, or a part of the heat made if that is more.

    A heap with no heat to spare for the season still makes some: a part of what it does not lose can be taken for a
    while. Heat drawn is taken as in proportion to running time. Air and water are cut alike. Always at least a quarter
    less; half where the heat drawn or the season draw is not known.
    """
    running = [setting for setting in _settings(pile) if setting.minutes > 0]
    planned = _as_planned(pile, running, more=False)
    share = _share_of_drawn(running, _bearable(pile))
    cut = ranged(min(part, LEAST_CUT) for part in share.ends) if share else REDUCED_BLINDLY
    # The plan speaks of one way: what else runs is cut as well.
    others = [setting for setting in running if not (planned and pile.plan and setting.of == _OF_WAY[pile.plan.way])]
    return planned + [_timer(each.of, _at_least_a_pulse(scaled(cut, each.minutes), each.minutes)) for each in others]


def raise_draw(pile: DoseInputs) -> list[Dose]:
    """Minutes in the hour up to the season draw, always more than now and never over the hour.

    A quarter more where the heat drawn or the season draw is not known, a small step at most where the heap's size is
    not; a draw that is off begins with a few minutes. What runs all hour gets a stronger flow instead. From 75 degC on
    heat is drawn by water only, or by the plan through a closed duct: air that gets in feeds a heap that is on the way
    to a fire.
    """
    shut = pile.air is not None and pile.air.path == "closed_duct" and pile.plan is not None
    overheating = pile.core_c >= FIRE_OVERHEATING.value and not shut
    settings = [setting for setting in _settings(pile) if not (overheating and setting.of == _FAN)]
    if pile.plan is not None:  # one way at a time: the one the plan speaks of
        settings = [setting for setting in settings if setting.of == _OF_WAY[pile.plan.way]] or settings
    running = [setting for setting in settings if setting.minutes > 0]
    planned = _as_planned(pile, settings, more=True)
    if planned:
        return planned
    if not running:
        return [_timer(of, FIRST_MINUTES) for of in _first_of(pile, settings, overheating=overheating)]
    share = _share_of_drawn(running, pile.season_draw_w) or RAISED_BLINDLY
    if pile.size_guessed:
        share = ranged(min(each, SMALL_STEP) for each in share.ends)
    return [_raised(setting, share) for setting in running]


def _first_of(pile: DoseInputs, settings: list[_Setting], *, overheating: bool) -> list[str]:
    """The timers to begin with: of the draws that were described, else of what is fitted, water first."""
    if settings:
        return [setting.of for setting in settings]
    fitted = [_PUMP] if pile.fits_water else [_FAN] if pile.fits_air and not overheating else []
    return fitted


def _as_planned(pile: DoseInputs, settings: list[_Setting], *, more: bool) -> list[Dose]:
    """Minutes and hours of the draw plan, where it changes the draw in this direction; nothing where it does not."""
    plan = pile.plan
    if plan is None:
        return []
    described = {each.of: each for each in settings}
    setting = described.get(_OF_WAY[plan.way]) or _at_rest(pile, plan.way)
    if setting is None:
        return []
    planned, now = plan.minutes * plan.hours, setting.minutes * setting.hours
    if (planned <= LEAST_RISE * now) if more else (planned >= MOST_LEFT * now):
        return []
    doses = []
    spread, least, most = (
        scaled(PLANNED_SPREAD, plan.minutes),
        LEAST_RISE * setting.minutes,
        MOST_LEFT * setting.minutes,
    )
    if setting.hours != plan.hours:
        doses.append(Dose("hours_per_day", plan.hours, plan.hours, plan.hours, dimension="hours_per_day"))
        if more and plan.minutes < most:  # longer days with shorter runs: more in all, and no more than is planned
            low = max(spread.low, min(LEAST_RISE * now / plan.hours, plan.minutes))
            doses.insert(0, _timer(setting.of, Estimate(plan.minutes, low, min(spread.high, most), "derived")))
        if not more and plan.minutes > least:
            high = min(spread.high, max(MOST_LEFT * now / plan.hours, plan.minutes), MINUTES_PER_HOUR)
            doses.insert(0, _timer(setting.of, Estimate(plan.minutes, max(spread.low, least), high, "derived")))
    if plan.minutes > LEAST_RISE * setting.minutes and more:
        low = max(spread.low, min(LEAST_RISE * setting.minutes, plan.minutes))
        doses.insert(0, _timer(setting.of, Estimate(plan.minutes, low, min(spread.high, MINUTES_PER_HOUR), "derived")))
    if plan.minutes < MOST_LEFT * setting.minutes and not more:
        high = min(spread.high, max(MOST_LEFT * setting.minutes, plan.minutes))
        doses.insert(0, _timer(setting.of, Estimate(plan.minutes, spread.low, high, "derived")))
    return doses


def _at_rest(pile: DoseInputs, way: str) -> _Setting | None:
    """The pump or fan of the plan where it is fitted but was not described: taken as off."""
    fitted = pile.fits_water and pile.water is None if way == "water" else pile.fits_air and pile.air is None
    return _Setting(_OF_WAY[way], 0.0, None, 0.0) if fitted else None


def pause_draw(pile: DoseInputs) -> list[Dose]:
    """Days to leave the draw off: until heat made beyond losses has warmed the core past the goal's limit.

    Three to seven days; up to fourteen at the high end. Five where heat made and lost are not known.
    """
    made, lost = pile.made_w, pile.lost_w
    if made is None or lost is None:
        return [Dose("pause_days", *PAUSE_DAYS.ends, dimension="duration")]
    missing_k = max(0.0, pile.keep_core_above_c + RESTART_MARGIN_K - pile.core_c)
    missing_j = missing_k * _heat_capacity(pile)
    low = _clipped(_days(missing_j, made.high - lost.low), PAUSE_DAYS.low, PAUSE_DAYS.high)
    value = _clipped(_days(missing_j, made.value - lost.value), low, PAUSE_DAYS.high)
    high = _clipped(_days(missing_j, made.low - lost.high), value, LONGEST_PAUSE_DAYS)
    return [Dose("pause_days", value, low, high, dimension="duration")]


def _settings(pile: DoseInputs) -> list[_Setting]:
    found = []
    if pile.water is not None:
        drawn = pile.water_drawn_w
        found.append(
            _Setting(
                _PUMP,
                _minutes_now(pile.water),
                drawn.value if drawn else None,
                pile.water.flow_kg_s,
                _hours(pile.water),
            )
        )
    if pile.air is not None:
        drawn = pile.air_drawn_w
        found.append(
            _Setting(_FAN, _minutes_now(pile.air), drawn.value if drawn else None, pile.air.flow_m3_s, _hours(pile.air))
        )
    return found


def _hours(draw: AirDraw | WaterDraw) -> float:
    return 24.0 * draw.day_share


def _minutes_now(draw: AirDraw | WaterDraw) -> float:
    flow = draw.flow_m3_s if isinstance(draw, AirDraw) else draw.flow_kg_s
    return MINUTES_PER_HOUR * draw.hour_share if flow > 0 and draw.day_share > 0 else 0.0


def _bearable(pile: DoseInputs) -> Estimate | None:
    """The season draw, or a part of the heat made where that is more and is not lost anyway; None where not known."""
    season, made = pile.season_draw_w, pile.made_w
    if season is None or made is None:
        return season
    lost_w = 0.0 if pile.lost_w is None else pile.lost_w.value
    value, low, high = (
        max(power, min(part * of, of - lost_w), 0.0)
        for power, part, of in (
            (season.value, PART_OF_MADE.value, made.value),
            (season.low, PART_OF_MADE.low, made.low),
            (season.high, PART_OF_MADE.high, made.value),
        )
    )
    return Estimate(value, low, max(high, value), "derived")


def _share_of_drawn(running: list[_Setting], target: Estimate | None) -> Estimate | None:
    """A wanted draw over the heat drawn, or None where either is not known or nothing sensible."""
    drawn = [setting.drawn_w for setting in running if setting.drawn_w is not None]
    if target is None or len(drawn) < len(running) or sum(drawn) <= 0:
        return None
    return ranged(max(0.0, power) / sum(drawn) for power in target.ends)


def _at_least_a_pulse(wanted: Estimate, minutes: float) -> Estimate:
    """Never so short that only the tube is flushed, but always clearly less than now."""
    value = min(max(wanted.value, SHORTEST_PULSE.value), LEAST_CUT * minutes)
    low = min(max(wanted.low, SHORTEST_PULSE.low), value)
    return Estimate(value, low, max(value, min(wanted.high, MOST_LEFT * minutes)), "derived")


def _raised(setting: _Setting, share: Estimate) -> Dose:
    """More minutes; more flow for what runs all hour."""
    least = LEAST_RISE * setting.minutes
    if least < MINUTES_PER_HOUR:
        return _timer(
            setting.of, ranged(_clipped(setting.minutes * part, least, MINUTES_PER_HOUR) for part in share.ends)
        )
    of: Dimension = "water_flow" if setting.of == _PUMP else "air_flow"
    return Dose(of, *scaled(RAISED_BLINDLY, setting.flow).ends, dimension=of)


def _timer(of: str, minutes: Estimate) -> Dose:
    return Dose(of, *minutes.ends, dimension="minutes_per_hour")


def _heat_capacity(pile: DoseInputs) -> float:
    """Of the whole heap. [J/K]"""
    moisture = pile.moisture.value
    return pile.mass_kg.value * ((1.0 - moisture) * DRY_MATTER_HEAT + moisture * WATER_HEAT)


def _days(heat_j: float, power_w: float) -> float:
    if heat_j == 0:
        return 0.0
    return heat_j / power_w / SECONDS_PER_DAY if power_w > 0 else LONGEST_PAUSE_DAYS


def _clipped(value: float, low: float, high: float) -> float:
    return min(max(value, low), high)
