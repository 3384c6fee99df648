"""Heat drawn by fan and pump, and work done to the heap."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from rules.catalogue import said
from rules.tables.materials import MATERIALS
from rules.tables.uses import uses_of
from service.problems.json_text import JsonObject
from service.talk.chat.meaning_heap import COVERS, amount_in, cover_named, of_a_load
from service.talk.chat.moments import before, day_in_month, moment, span_days, span_written
from service.talk.chat.reading import (
    EITHER,
    Gap,
    HeardValue,
    Node,
    Setting,
    Told,
    Unclear,
    has,
    parts_in,
    pieces_in,
    temperatures,
)
from service.units.quantities import parse_quantity

_STOCK: Final = ("MATERIAL", "SUPPLY")
_WHEN: Final = said("chat.when-done")
_OF_LIQUIDS: Final = frozenset({"L", "gal", "imperial_gal"})
HALF_THE_DAY: Final = "12 h/day"
"""What "at night" and "by day" are taken for, said back (our own)."""


def _drawn(way: str) -> Callable[[Node, Setting], Iterator[Told]]:
    """All that is said of the fan (`air`), of the pump (`water`), or of whichever there is."""

    def told(node: Node, setting: Setting) -> Iterator[Told]:
        place = f"/draw/{way}"
        for piece in pieces_in(node, "AIRFLOW", "WATERFLOW"):
            yield HeardValue(f"{place}/flow", str(piece.value))
        for piece in pieces_in(node, "MINUTES"):
            yield HeardValue(f"{place}/minutes_per_hour", str(piece.value))
        for piece in pieces_in(node, "HOURS"):
            yield HeardValue(f"{place}/hours_per_day", str(piece.value))
        if has(node, "ALWAYS"):
            yield HeardValue(f"{place}/minutes_per_hour", "60 min/h")
        if has(node, "HALF_TIME"):
            yield HeardValue(f"{place}/minutes_per_hour", "30 min/h")
        if has(node, "ALL_DAY"):
            yield HeardValue(f"{place}/hours_per_day", "24 h/day")
        if has(node, "NIGHTS", "DAYTIME") and has(node, "OFF"):
            raise Unclear(said("chat.off-when"))
        if has(node, "NIGHTS", "DAYTIME"):
            yield HeardValue(f"{place}/hours_per_day", HALF_THE_DAY)
        if has(node, "OFF") or parts_in(node, "off_since"):
            yield HeardValue(f"{place}/minutes_per_hour", "0 min/h")
        for span in (each for part in parts_in(node, "off_since") for each in parts_in(part, "span")):
            yield Gap(span_written(span), said("chat.off-for"))
        for piece in pieces_in(node, "CONTROL"):
            yield HeardValue("/draw/control", piece.value)
        for part in parts_in(node, "running_since", "running_for") if not has(node, "OFF") else ():
            yield from _since(f"{place}/since", part, setting)
        for part in parts_in(node, "running_since_month"):
            named = day_in_month(part)
            day = named.last_before(setting.now.date()) if named else None
            yield (
                Gap("", said("chat.since-which-day")) if day is None else HeardValue(f"{place}/since", day.isoformat())
            )
        for part in parts_in(node, "in_and_out"):
            for name, value in zip(("inlet", "outlet"), temperatures(part), strict=True):
                yield HeardValue(f"{place}/{name}", value)
        for part in parts_in(node, "out_and_in"):
            for name, value in zip(("outlet", "inlet"), temperatures(part), strict=True):
                yield HeardValue(f"{place}/{name}", value)
        for name in ("inlet", "outlet"):
            for part in parts_in(node, f"{name}_part"):
                yield HeardValue(f"{place}/{name}", next(temperatures(part)))

    return told


def _since(pointer: str, node: Node, setting: Setting) -> Iterator[Told]:
    """The day since which it has run like this: named, or a span of days before now."""
    parts = [node, *parts_in(node, "since")]
    at = next((moment(when, setting) for part in parts for when in parts_in(part, "moment")), None)
    for span in (span for part in parts for span in parts_in(part, "span")):
        if span_days(span) < 1:
            raise Unclear(said("chat.minutes-or-since"))
        at = before(span, setting.now)
    yield Gap("", said("chat.since-which-day")) if at is None else HeardValue(pointer, at.date().isoformat())


def _end(name: str) -> Callable[[Node, Setting], Iterator[Told]]:
    """The temperature at one end of duct or loop, whichever there is."""

    def told(node: Node, setting: Setting) -> Iterator[Told]:
        for value in temperatures(node):
            yield HeardValue(f"/draw/{EITHER}/{name}", value)

    return told


def _in_and_out(node: Node, setting: Setting) -> Iterator[Told]:
    for name, value in zip(("inlet", "outlet"), temperatures(node), strict=True):
        yield HeardValue(f"/draw/{EITHER}/{name}", value)


def _out_and_in(node: Node, setting: Setting) -> Iterator[Told]:
    for name, value in zip(("outlet", "inlet"), temperatures(node), strict=True):
        yield HeardValue(f"/draw/{EITHER}/{name}", value)


def _out_there(node: Node, setting: Setting) -> Iterator[Told]:
    for value in temperatures(node):
        yield HeardValue(f"/draw/{EITHER}/outlet", value, unless_told=True)


def _outlet_fell(node: Node, setting: Setting) -> Iterator[Told]:
    """What comes out now; what came out before has no place."""
    then, now = temperatures(node)
    yield HeardValue(f"/draw/{EITHER}/outlet", now)
    yield Gap(then, said("chat.only-now"))


def _poured(node: Node, setting: Setting) -> Iterator[Told]:
    """So many litres put on, of which nobody said what they were: water."""
    (volume,) = pieces_in(node, "VOLUME")
    if volume.value.unit not in _OF_LIQUIDS:
        raise Unclear(said("chat.of-what"))
    yield from _watered(node, setting)


def _fitted(node: Node, setting: Setting) -> Iterator[Told]:
    """That a duct or a loop is in the heap, whatever is drawn by it."""
    for piece in pieces_in(node, "FAN", "PUMP"):
        yield HeardValue("/equipment/-", "air_duct" if piece.terminal == "FAN" else "water_loop")


def _not_drawn(node: Node, setting: Setting) -> Iterator[Told]:
    yield HeardValue("/equipment", [])


def _draw_answer(node: Node, setting: Setting) -> Iterator[Told]:
    """Minutes in each hour, asked for without saying of what."""
    place = f"/draw/{EITHER}/minutes_per_hour"
    if has(node, "ALWAYS"):
        yield HeardValue(place, "60 min/h")
    elif has(node, "OFF", "NOTHING"):
        yield HeardValue(place, "0 min/h")
    for part in parts_in(node, "minutes_count"):
        (piece,) = pieces_in(part)
        if piece.terminal == "NUM" or piece.value.unit == "min":
            yield HeardValue(place, f"{piece.value.value:g} min/h")
        else:
            yield Gap(str(piece.value), said("chat.minutes-wanted"))


def _watered(node: Node, setting: Setting) -> Iterator[Told]:
    volumes = [str(piece.value) for piece in pieces_in(node, "VOLUME")]
    others = [piece.value for piece in pieces_in(node, "SUPPLY") if piece.value not in ("water", "warm_water")]
    if others:
        yield Gap(others[0], said("chat.only-water"))
        return
    yield from _work(node, setting, "add_water", volumes[0] if volumes else None)


def _watered_twice(node: Node, setting: Setting) -> Iterator[Told]:
    for part in parts_in(node, "pour_on"):
        yield from _work(part, setting, "add_water", str(pieces_in(part, "VOLUME")[0].value))


def _added(node: Node, setting: Setting) -> Iterator[Told]:
    for dose in parts_in(node, "dose"):
        yield from _dosed(dose, node, setting)


def _dosed(dose: Node, node: Node, setting: Setting) -> Iterator[Told]:
    (thing,) = pieces_in(dose, *_STOCK)
    amount = amount_in(dose, setting)
    if isinstance(amount, Gap):
        yield amount
        return
    action = _action_of(thing.value)
    if action is None:
        yield Gap(thing.value.replace("_", " "), said("chat.added-for-what"))
        return
    yield from of_a_load(dose) if amount is None else ()
    yield from _work(node, setting, action, amount[1] if amount else None)


def _action_of(name: str) -> str | None:
    """What adding a thing is: watering, or feeding nitrogen; None where it could be several moves."""
    if name in ("water", "warm_water"):
        return "add_water"
    material = MATERIALS.get(name)
    return "add_nitrogen" if material is not None and "nitrogen" in uses_of(material) else None


def _turned(node: Node, setting: Setting) -> Iterator[Told]:
    yield from _work(node, setting, "loosen_pile", None)


def _turned_and_watered(node: Node, setting: Setting) -> Iterator[Told]:
    yield from _turned(node, setting)
    yield from _watered(node, setting)


def _turned_and_added(node: Node, setting: Setting) -> Iterator[Told]:
    yield from _turned(node, setting)
    yield from _added(node, setting)


def _worked_since(node: Node, setting: Setting) -> Iterator[Told]:
    """So long since it was watered or turned."""
    at = before(parts_in(node, "span")[0], setting.now).isoformat()
    if has(node, "TURNED"):
        yield HeardValue("/done/-", {"at": at, "action": "loosen_pile"})
        return
    amount = [{"amount": str(piece.value)} for piece in pieces_in(node, "VOLUME")]
    yield HeardValue("/done/-", {"at": at, "action": "add_water", **(amount[0] if amount else {})})


def _topped_up(node: Node, setting: Setting) -> Iterator[Told]:
    """More of a thing on top; what makes a cover covers it, and a feed that was put there feeds."""
    if has(node, "OVER_IT") and any(piece.value in COVERS for piece in pieces_in(node, "MATERIAL")):
        yield from _covered_on(node, setting)
        return
    doses = parts_in(node, "dose", "portion")
    amount = next((amount_in(dose, setting) for dose in doses), None)
    if isinstance(amount, Gap):
        yield amount
        amount = None
    put = {_action_of(str(piece.value)) for part in (node, *doses) for piece in pieces_in(part, "MATERIAL")}
    action = "add_nitrogen" if put == {"add_nitrogen"} and not has(node, "TOPPED_UP") else "top_up"
    yield from _work(node, setting, action, amount[1] if amount else None)


def _covered_on(node: Node, setting: Setting) -> Iterator[Told]:
    cover = cover_named(node)
    if cover is None:
        yield Gap("covered", said("chat.covered-with-what"))
        return
    yield HeardValue("/pile/cover", cover)
    yield from _work(node, setting, "cover_with_clear_film" if cover == "clear_film" else "insulate", None)


def _undated_work(node: Node, setting: Setting) -> Iterator[Told]:
    yield Gap("", _WHEN)


def _work(node: Node, setting: Setting, action: str, amount: str | None) -> Iterator[Told]:
    at = moment(parts_in(node, "moment")[0], setting)
    if at is None:
        yield Gap("", said("chat.no-such-day"))
        return
    done: JsonObject = {"at": at.isoformat(), "action": action}
    if amount is not None:
        parse_quantity(amount, ("mass", "volume"), "metric")
        done["amount"] = amount
    yield HeardValue("/done/-", done)


WORK: Final[dict[str, Callable[[Node, Setting], Iterator[Told]]]] = {
    "fan": _drawn("air"),
    "pump": _drawn("water"),
    "minutes": _drawn(EITHER),
    "hours_alone": _drawn(EITHER),
    "inlet": _end("inlet"),
    "outlet": _end("outlet"),
    "in_and_out": _in_and_out,
    "out_and_in": _out_and_in,
    "outlet_fell": _outlet_fell,
    "out_there": _out_there,
    "fitted": _fitted,
    "poured": _poured,
    "not_drawn": _not_drawn,
    "watered": _watered,
    "water_on": _watered,
    "watered_twice": _watered_twice,
    "added": _added,
    "turned": _turned,
    "turned_and_added": _turned_and_added,
    "turned_and_watered": _turned_and_watered,
    "worked_since": _worked_since,
    "topped_up": _topped_up,
    "covered_on": _covered_on,
    "undated_work": _undated_work,
    "answer_draw": _draw_answer,
}
"""What each rule of the grammar says, by its name."""
