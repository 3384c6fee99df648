"""The questions that a status leaves open, and the status as it would be with an answer."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import timedelta
from typing import Any, Final

from rules import RULES
from rules.language.conditions import holds
from rules.language.model import Finding
from rules.tables.questions import IN_DANGER, QUESTIONS, Answer, Question
from rules.tables.thresholds import FIRE_KEEP_CLEAR, FIRE_OVERHEATING
from service.heat.physics.water_loop import DEFAULT_LENGTH_M
from service.picture.record import Picture
from service.status.change import with_fields, with_ingredients, with_value, with_volume
from service.status.models import Draw, Reading, Status
from service.status.names import Sign
from service.units.estimate import USUAL_FAN, USUAL_PUMP
from service.units.figures import figures

DOUBTS_OF_A_HAND: Final = tuple(rule for rule in RULES.values() if rule.gives == Finding("hand_doubtful"))
NEAR_THE_AIR: Final = frozenset({"/moisture_feel", "/smell"})
"""Questions for which somebody opens the heap or smells at it: not while its air stings."""
TREND_DAYS, TREND_K = figures(
    (3.0, "days"),
    (4.0, "K"),
    why="A core that rises or falls is tried with this change over these days",
    how_known="no source",
)


def open_questions(picture: Picture) -> list[Question]:
    """The questions a status leaves open, most useful first as common practice has it.

    At a heap that may burn, or is on its way to it, only those for which nobody has to go near; none while somebody
    feels unwell, for all are to be out.
    """
    facts = picture.derived.facts
    if facts.get("people_unwell") is True and not in_danger(facts):
        return []
    shut = NEAR_THE_AIR if facts.get("people_sting") is True else frozenset()
    if in_danger(facts):
        burning = burns(facts)
        return [each for each in IN_DANGER if each.field.strip("/") not in _settled(facts, burning=burning)]
    return [each for each in QUESTIONS if each.field not in shut and not _answered(each.field, picture)]


def in_danger(facts: Mapping[str, Any]) -> bool:
    """Whether a heap may burn, or is on its way to it, or was within the last days."""
    hottest = max(facts["hottest_c"], facts.get("hottest_lately_c", facts["hottest_c"]))
    return hottest >= FIRE_OVERHEATING.value or burns(facts)


def burns(facts: Mapping[str, Any]) -> bool:
    """Whether a heap may burn: by its heat, or by smoke or a burnt smell."""
    smoulders = facts.get("smoke") is True or facts.get("smell") == "burnt"
    return bool(facts["hottest_c"] >= FIRE_KEEP_CLEAR.value or smoulders)


def _settled(facts: Mapping[str, Any], *, burning: bool) -> set[str]:
    """What need not be asked in danger."""
    smoke = {"signs"} if "smoke" in facts else set()
    return smoke | ({"help_called"} if "help_called" in facts or not burning else set())


def status_if(answer: Answer, picture: Picture) -> Status:
    """The status as it would be with this answer."""
    status = picture.status
    for field, value in answer.sets.items():
        status = _with(status, field, value, picture)
    return status


def _answered(field: str, picture: Picture) -> bool:
    """Whether the status already says it, or cannot say it usefully."""
    status, facts = picture.status, picture.derived.facts
    match field:
        case "/moisture_feel":
            felt = status.moisture_feel is not None and status.moisture_feel_at != "surface"
            return status.pile.moisture is not None or (felt and not _hand_is_doubted(facts))
        case "/history":
            return bool(status.history)
        case "/draw":
            fitted = facts.get("has_air_duct") or facts.get("has_water_loop")
            return not fitted or "drawing" in facts
        case "/weather/low":
            return status.greenhouse is None or (status.weather is not None and status.weather.low is not None)
        case "/draw/water/outlet":
            water = status.draw.water if status.draw else None
            running = facts.get("water_drawing") is True and "water_flow_l_min" in facts
            return water is None or water.outlet is not None or not running
        case "/probe/length":
            return "probe_too_short" in facts or picture.size.radius_m is None or any(_told(status, field))
        case _ if field.startswith("/draw/"):
            drawing = "air_drawing" if field.startswith("/draw/air/") else "water_drawing"
            return facts.get(drawing) is not True or any(_told(status, field))
        case _:
            return any(_told(status, field))


def _hand_is_doubted(facts: Mapping[str, Any]) -> bool:
    """Whether something else that was told speaks against the one handful, so that it is worth another look."""
    return any(holds(rule.when, facts) is True for rule in DOUBTS_OF_A_HAND)


HOW_MUCH: Final = ("/flow", "/hours_per_day", "/minutes_per_hour")
"""The ends of fields that tell how much is drawn."""
HANGS_ON_THE_DRAW: Final = frozenset({"reduce_draw", "pause_draw", "raise_draw", "keep_going"})
"""First actions that rest on how much is drawn."""


def settling(picture: Picture, first_action: str) -> frozenset[str]:
    """Fields that settle what the first action took for granted: asked before anything else."""
    if first_action not in HANGS_ON_THE_DRAW or picture.derived.facts.get("draw_assumed") is not True:
        return frozenset()
    assumed = (assumption.pointer for assumption in picture.derived.assumed)
    return frozenset(pointer for pointer in assumed if pointer.endswith(HOW_MUCH))


def _told(status: Status, field: str) -> Iterator[bool]:
    value: Any = status
    for name in field.strip("/").split("/"):
        value = getattr(value, name, None) if value is not None else None
    yield value is not None


def _with(status: Status, field: str, value: Any, picture: Picture) -> Status:
    """The status as it would be with this answer."""
    match field:
        case "/history":
            return with_fields(status, history=[_earlier(status, value, picture)])
        case "/pile/ingredients":
            return with_ingredients(status, value, picture.size.volume.value)
        case "/pile/size":
            return with_volume(status, value)
        case "/signs" | "/not_seen" if value:
            return _with_signs(status, field.strip("/"), value)
        case "/draw":
            return with_fields(status, draw=_draw_for(value, picture))
        case _:
            return with_value(status, field, value)


def _with_signs(status: Status, name: str, signs: list[Sign]) -> Status:
    """The status with more signs seen, or looked for in vain."""
    kept = [sign for sign in getattr(status, name) or [] if sign not in signs]
    return with_fields(status, **{name: [*kept, *signs]})


def _earlier(status: Status, how: str, picture: Picture) -> Reading:
    change = {"falling": TREND_K, "steady": 0.0, "rising": -TREND_K}[how]
    core_c = float(picture.derived.facts["core_c"]) + change
    return Reading.model_construct(at=status.as_of - timedelta(days=TREND_DAYS), core=core_c)


def _draw_for(minutes: float, picture: Picture) -> Draw:
    """The usual pump or fan for so many minutes in the hour, whichever is fitted."""
    if picture.derived.facts.get("has_water_loop"):
        flow, length = f"{USUAL_PUMP.value * 60:g} L/min", f"{DEFAULT_LENGTH_M:g} m"
        pump = {"flow": flow, "minutes_per_hour": minutes, "tube": "plastic", "tube_length": length}
        return Draw.model_validate({"water": pump})
    fan = {"flow": f"{USUAL_FAN.value * 3600:g} m3/h", "minutes_per_hour": minutes, "path": "closed_duct"}
    return Draw.model_validate({"air": fan})
