"""The house that is warmed, and the air in it and around it: what the clauses about them say."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import timedelta
from typing import Final

from rules.catalogue import said
from service.talk.chat.days import days_back
from service.talk.chat.meaning_simple import not_kept, value_of
from service.talk.chat.moments import DAYS_IN_WEEK
from service.talk.chat.reading import HeardValue, Node, Setting, Told, Unclear, has, parts_in, pieces_in, temperatures
from service.units.quantities import parse_quantity

_M3_OF_FT3: Final = parse_quantity("1 ft3", ("volume",), "metric").si
_WHOLE: Final = 100
"""From here on a volume is told in whole numbers."""
_OF_FEET: Final = frozenset({"ft", "in", "yd"})


def _glazing_alone(node: Node, setting: Setting) -> Iterator[Told]:
    """What can be nothing else than the glazing of the house; glass alone could be."""
    (piece,) = pieces_in(node, "GLAZING")
    if piece.end - piece.start <= len("glass"):
        raise Unclear(said("chat.glazed-with"))
    yield HeardValue("/greenhouse/glazing", piece.value)


def _house_volume(node: Node, setting: Setting) -> Iterator[Told]:
    yield HeardValue("/greenhouse/volume", str(pieces_in(node, "VOLUME")[0].value))
    for piece in pieces_in(node, "GLAZING"):
        yield HeardValue("/greenhouse/glazing", piece.value)


def _house_box(node: Node, setting: Setting) -> Iterator[Told]:
    """Length, width and height of the house: it holds no more air than that."""
    measures = [number for piece in pieces_in(node, "MEASURES", "TWO_MEASURES") for number in piece.value]
    for part in parts_in(node, "dimension"):
        if not has(part, "HIGH") or not has(part, "LENGTH", "YARDS", "NUM"):
            raise Unclear(said("chat.how-high"))
        measures.append(pieces_in(part, "LENGTH", "YARDS", "NUM")[0].value)
    if len(measures) != 3:
        raise Unclear(said("chat.how-high"))
    unit = next((number.unit for number in reversed(measures) if number.unit), "")
    if not unit:
        raise Unclear(said("chat.which-unit"))
    measures = [number if number.unit else replace(number, unit=unit) for number in measures]
    length, width, height = (parse_quantity(str(number), ("length",), "metric").si for number in measures)
    cubic_metres = length * width * height
    feet = any(number.unit in _OF_FEET for number in measures)
    volume, unit = (cubic_metres / _M3_OF_FT3, "ft3") if feet else (cubic_metres, "m3")
    written = f"{volume:.0f}" if volume >= _WHOLE else f"{volume:.3g}"
    yield HeardValue("/greenhouse/volume", f"{written} {unit}")
    for piece in pieces_in(node, "GLAZING"):
        yield HeardValue("/greenhouse/glazing", piece.value)


def _air_temp(node: Node, setting: Setting) -> Iterator[Told]:
    """Air that is below freezing comes out of no heap; warmer air may be of the house, the duct or outdoors."""
    (piece,) = pieces_in(node, "TEMP", "NUM")
    (air,) = pieces_in(node, "FAN")
    if not str(air.value).startswith("air") or piece.value.value >= 0:
        raise Unclear(said("chat.which-air"))
    for value in temperatures(node):
        yield HeardValue("/temperatures/outdoor", value)


def _glazing_area(node: Node, setting: Setting) -> Iterator[Told]:
    for piece in pieces_in(node, "GLAZING"):
        yield HeardValue("/greenhouse/glazing", piece.value)
    yield HeardValue("/greenhouse/glazing_area", str(pieces_in(node, "AREA")[0].value))


def _house_now(node: Node, setting: Setting) -> Iterator[Told]:
    for value in temperatures(node):
        yield HeardValue("/greenhouse/temperature", value)


def _house_humidity(node: Node, setting: Setting) -> Iterator[Told]:
    yield HeardValue("/greenhouse/humidity", f"{pieces_in(node, 'PERCENT')[0].value.value:g} %")


def _forecast(node: Node, setting: Setting) -> Iterator[Told]:
    """The low of a night to come, by its day."""
    days = [int(piece.value) for piece in pieces_in(node, "AHEAD")]
    days += [DAYS_IN_WEEK - days_back(int(piece.value), setting.now) for piece in pieces_in(node, "WEEKDAY")]
    if not days[0]:
        raise Unclear(said("chat.tonight-or-in-a-week"))
    on = (setting.now + timedelta(days=days[0])).date().isoformat()
    for value in temperatures(node):
        yield HeardValue("/weather/forecast/-", {"date": on, "low": value})


HOUSE: Final[dict[str, Callable[[Node, Setting], Iterator[Told]]]] = {
    "forecast": _forecast,
    "house_now": _house_now,
    "house_humidity": _house_humidity,
    "house_volume": _house_volume,
    "house_box": _house_box,
    "house_measured": not_kept(said("chat.house-volume")),
    "glazing": value_of("/greenhouse/glazing", "GLAZING"),
    "glazing_alone": _glazing_alone,
    "prefer": value_of("/goal/prefer", "PREFER"),
    "season": value_of("/season", "SEASON"),
    "glazing_area": _glazing_area,
    "air_temp": _air_temp,
    "outdoor_then": not_kept(said("chat.outdoors-now")),
    "day_temp": not_kept(said("chat.outdoors-now")),
}
"""What each rule of the grammar says, by its name."""
