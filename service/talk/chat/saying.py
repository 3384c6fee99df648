"""Readings said back in words, as they were understood."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime
from typing import Any, Final

from rules import catalogue
from rules.actions.records import ACTIONS
from rules.tables.fields import FIELDS
from service.problems.json_text import JsonObject
from service.render.wording import spelled
from service.talk.chat.reading import HeardValue

_SAID: Final = {
    f"{record.at}/-" if record.kind == "names" else record.at: f"told.{record.name}"
    for record in FIELDS.values()
    if record.said
}
"""The texts of what is said in words of its own; of names each is said by itself."""
_SHAPED: Final = frozenset(
    {
        *("/temperatures/points/-", "/history/-", "/pile/size", "/pile/ingredients", "/moisture_feel", "/on_hand/-"),
        *("/done/-", "/signs", "/weather/forecast/-", "/on_hand", "/people", "/equipment"),
    }
)
"""Fields said in a way of their own; others that a status may hold are said by their names."""
_UNITS_BACK: Final = frozenset({"degrees", "short_ton", "pickup_load"})
"""Units that are spelled out here alone."""


def all_said(readings: Iterable[HeardValue]) -> list[str]:
    """Readings in words; what is on hand is said together, as that is taken as all there is."""
    told = list(readings)
    stock = [_name(reading.value) for reading in told if reading.pointer == "/on_hand/-"]
    unseen = [_name(reading.value) for reading in told if reading.pointer == "/not_seen/-"]
    apart = ("/on_hand/-", "/not_seen/-")
    words = [said_back(reading.pointer, reading.value) for reading in told if reading.pointer not in apart]
    if unseen:
        words.append(_back("not-seen", what=", ".join(unseen)))
    return [*words, _back("stock", what=", ".join(stock))] if stock else words


def all_told(status: JsonObject) -> list[str]:
    """All that a status in the making holds, in words."""
    return all_said(HeardValue(pointer, value) for pointer, value in _leaves(status, ""))


def _leaves(node: JsonObject, pointer: str) -> Iterator[tuple[str, Any]]:
    """Each value with its pointer, as readings have them."""
    for name, value in node.items():
        place = f"{pointer}/{name}"
        if place in ("/units", "/moisture_feel_at"):
            continue
        if place == "/moisture_feel":
            yield place, {"moisture_feel": value, "moisture_feel_at": node.get("moisture_feel_at")}
        elif isinstance(value, list) and value and place != "/pile/ingredients":
            yield from ((f"{place}/-", item) for item in value)
        elif isinstance(value, dict) and place != "/pile/size":
            yield from _leaves(value, place)
        else:
            yield place, value


def said_back(pointer: str, value: Any) -> str:
    """One reading in words, e.g. `core 121 °F`, `fan runs 12 minutes an hour`."""
    if pointer in _SAID:
        return catalogue.said(_SAID[pointer], value=_value(value))
    if pointer not in _SHAPED:
        return f"{pointer.strip('/-').replace('/', ' ').replace('_', ' ')}: {_value(value)}"
    match pointer:
        case "/temperatures/points/-":
            told = _value(value["value"])
            told = _back("depth", value=told, depth=_value(value["depth"])) if "depth" in value else told
            return _back("side", value=told, side=value["side"]) if "side" in value else told
        case "/history/-":
            return _back("history", value=_value(value["core"]), day=_day(value["at"]))
        case "/weather/forecast/-":
            ends = [_back(f"forecast.{name}", value=_value(value[name])) for name in ("low", "high") if name in value]
            return _back("forecast", day=_day(value["date"]), told=", ".join(ends))
        case "/pile/size":
            return _size(value)
        case "/pile/ingredients":
            return _back("ingredients", what=", ".join(_ingredient(part) for part in value))
        case "/moisture_feel" if isinstance(value, str):
            return value
        case "/moisture_feel":
            where = value.get("moisture_feel_at")
            return f"{value['moisture_feel']} ({where.replace('_', ' ')})" if where else str(value["moisture_feel"])
        case "/on_hand/-":
            return _back("on-hand", what=_name(value))
        case "/done/-":
            amount = f" {_value(value['amount'])}" if "amount" in value else ""
            return _back("done", what=f"{ACTIONS[value['action']].title.lower()}{amount}", day=_day(value["at"]))
        case "/signs" if value:
            return _back("signs", what=", ".join(map(_name, value)))
        case "/not_seen":
            return _back("not-seen", what=", ".join(map(_name, value)))
        case "/not_seen/-":
            return _back("not-seen", what=_name(value))
        case "/help_called":
            return _back("help-called" if value else "help-not-called")
    return _back(f"none.{pointer.strip('/')}")


def _back(text_id: str, **fields: str) -> str:
    return catalogue.said(f"said-back.{text_id}", **fields)


def _size(value: JsonObject) -> str:
    shape, measures = next(iter(value.items()))
    if not isinstance(measures, dict):
        return _back("size.amount", value=_value(measures))
    return _back(f"size.{shape}", **{name: _value(measure) for name, measure in measures.items()})


def _ingredient(part: dict[str, str]) -> str:
    amount = f"{_value(part['amount'])} " if "amount" in part else f"{part['share']} " if "share" in part else ""
    return amount + _name(part["material"])


def _name(thing: str) -> str:
    return thing.replace("_", " ")


def _value(value: Any) -> str:
    """A value as a person writes it: units spelled, words without their marks."""
    text = str(value)
    number, _, unit = text.partition(" ")
    if not number[:1].isdigit() and number[:1] != "-":
        return text.replace("_", " ")
    unit = "degrees" if unit == "?" else unit
    return f"{number} {_back(f'unit.{unit}') if unit in _UNITS_BACK else spelled(unit)}"


def _day(moment: str) -> str:
    at = datetime.fromisoformat(moment)
    return f"{at:%a} {at.day} {at:%b}"
