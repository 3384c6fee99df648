"""How wet the heap is: measured, squeezed, or what its ingredients were."""

from __future__ import annotations

from typing import Final

from service.facts.mixing import free_air_space
from service.facts.mixture import Mixture
from service.facts.record import Derived
from service.status.days import days_between
from service.status.models import Status
from service.units.estimate import Estimate
from service.units.figures import figure, figures

FEEL_MOISTURE: Final = figure(
    {"dusty": 0.30, "dry": 0.42, "damp": 0.55, "wet": 0.64, "soggy": 0.70},
    "1",
    "Moisture by squeeze test: a damp wrung-out rag is 50-60 % (handbooks), the rest is our own",
    "no source",
)
FEEL_SPREAD: Final = figure(
    0.064, "1", "80 % half-range of a squeeze test from inside the heap: standard deviation 0.05", "no source"
)
SKIN_SPREAD: Final = figure(
    0.13, "1", "80 % half-range of a handful from the skin, which tells little about the inside", "no source"
)
MEASURED_SPREAD: Final = figure(
    0.03, "1", "80 % half-range of an oven-dried sample: one handful is not the heap", "no source"
)
DRY_CORE: Final = figure(
    Estimate(0.40, 0.30, 0.48, "derived"), "1", "Moisture inside a heap with a wet skin and a dry core", "no source"
)
DRYING_SPREAD: Final = figure(
    0.08, "1", "What weeks of rot and weather add to the doubt about the ingredients' moisture", "no source"
)
SIDE = {"dusty": "dry", "dry": "dry", "damp": "right", "wet": "wet", "soggy": "wet"}
HANDS_LAST_DAYS: Final = figure(14.0, "days", "An earlier handful counts for so long", "no source")
WATER_STAYS_DAYS: Final = figure(21.0, "days", "Water in the right amount lasts a heap at least so long", "no source")
TODAYS_WEIGHT: Final = figure(2.0, "1", "How many earlier handfuls today's counts for", "no source")
DRIEST, WETTEST = figures(
    (0.10, "1"), (0.85, "1"), why="No heap that is asked about is drier or wetter", how_known="no source"
)


def put_air_space(status: Status, moisture: Estimate, derived: Derived) -> None:
    """Put how much of the heap is air [%] where mass and volume were both told, and its water measured or felt."""
    density = derived.facts.get("bulk_density_kg_m3")
    if density is None or (status.pile.moisture is None and status.moisture_feel is None):
        return
    filled = 1.0 - free_air_space(1.0, moisture.value)
    derived.put(free_air_space_percent=100 * max(0.0, 1.0 - float(density) * filled))


def read_moisture(status: Status, mixture: Mixture, derived: Derived) -> Estimate:
    """Moisture inside the heap [fraction]; puts `moisture_percent` only where it was measured."""
    signs = status.signs or []
    put_earlier_hands(status, derived)
    if status.pile.moisture is not None:
        measured = _around(status.pile.moisture / 100, MEASURED_SPREAD)
        derived.put(moisture_percent=100 * measured.value)
        return measured
    if "wet_skin_dry_core" in signs and status.moisture_feel_at not in ("arm_deep", "core"):
        return DRY_CORE
    if status.moisture_feel is not None:
        middle = FEEL_MOISTURE[status.moisture_feel]
        if status.moisture_feel_at == "surface":
            return _around(middle, SKIN_SPREAD)
        return _around(_among_earlier(middle, status), FEEL_SPREAD)
    why = "assumed.moisture-of-ingredients" if mixture.known else "assumed.usual-moisture"
    start = mixture.moisture
    guess = Estimate(
        start.value, max(start.low - DRYING_SPREAD, DRIEST), min(start.high + DRYING_SPREAD, WETTEST), "assumed"
    )
    shown = Estimate(100 * guess.value, 100 * guess.low, 100 * guess.high, "assumed")
    derived.assume("/pile/moisture", shown, "percent", why)
    return guess


def _among_earlier(middle: float, status: Status) -> float:
    """Moisture by today's handful and those before it: one in several is misjudged. [fraction]"""
    if _looked_again(status):
        return middle
    earlier = [FEEL_MOISTURE[felt] for felt in _hands_before(status)]
    return (TODAYS_WEIGHT * middle + sum(earlier)) / (TODAYS_WEIGHT + len(earlier))


def put_earlier_hands(status: Status, derived: Derived) -> None:
    """Put whether earlier handfuls, or a second look, agree with a dry or wet one; unknown where there were none.

    Handfuls from before the heap was last watered tell of another heap; a dry one after that water is contradicted by
    it until a second one says the same.
    """
    feel = status.moisture_feel
    if feel is None or feel == "damp":
        return
    if _looked_again(status):
        derived.put(hand_confirmed=True)
        return
    lately = [SIDE[felt] for felt in _hands_before(status)]
    if lately:
        derived.put(hand_confirmed=lately[-1] == SIDE[feel] and 2 * lately.count(SIDE[feel]) >= len(lately))
    elif SIDE[feel] == "dry" and _since(status, "add_water") <= WATER_STAYS_DAYS:
        derived.put(hand_confirmed=False, hand_after_water=True)


def _hands_before(status: Status) -> list[str]:
    """Handfuls of the last days, oldest first, since the heap was last watered or dry matter mixed in."""
    changed = min(_since(status, "add_water"), _since(status, "add_dry_bulking"), HANDS_LAST_DAYS)
    told = sorted((read.at, read.moisture_feel) for read in status.history or [] if read.moisture_feel is not None)
    return [felt for at, felt in told if at < status.as_of and days_between(at, status.as_of) <= changed]


def _looked_again(status: Status) -> bool:
    """Whether more handfuls were squeezed since the reading before this one."""
    days = [days_between(read.at, status.as_of) for read in status.history or [] if read.at < status.as_of]
    return _since(status, "squeeze_again") < min([*days, HANDS_LAST_DAYS])


def _since(status: Status, action: str) -> float:
    """Days since work of a kind was last done; infinite where it was not."""
    done = status.done or []
    return min((days_between(work.at, status.as_of) for work in done if work.action == action), default=float("inf"))


def _around(middle: float, half_range: float) -> Estimate:
    return Estimate(middle, max(middle - half_range, DRIEST), min(middle + half_range, WETTEST), "measured")
