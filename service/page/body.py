"""From what was typed to the body of a status, and from a pointer in that body back to the field it came from."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any, Final, get_args

from pydantic_core import PydanticCustomError

from rules.catalogue import said
from rules.tables.fields import FIELDS as RECORDS
from service.page.entries import AS_OF, AT, EARLIER, READ_AT, Typed, first, system_of, with_chosen_unit
from service.page.fields import NONE_OF_THESE
from service.page.form import FIELDS, HISTORY_ROWS, INGREDIENT_ROWS, POINT_ROWS, WORK_ROWS
from service.problems.json_text import JsonObject
from service.status.days import LONGEST_AGO_DAYS
from service.status.moments import read_instant
from service.status.status import Aged
from service.units.quantities import QuantityError, System, parse_quantity

_SIDES: Final = {
    "cone": {"width": "diameter", "height": "height"},
    "windrow": {"length": "length", "width": "width", "height": "height"},
    "cylinder": {"width": "diameter", "height": "height"},
    "box": {"length": "length", "width": "width", "height": "height"},
}
"""Which field gives which measure of a shape."""
_FLAGS: Final = {"yes": True, "no": False}
_FLAG_FIELDS: Final = frozenset(record.name for record in RECORDS.values() if record.kind == "flag")
_APART: Final = ("history", "done", "temperatures.points", "pile.ingredients", "pile.size", "on_hand")
"""Fields, and parents of fields, that do not fill one pointer of their own."""


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong with a field, in words; the name is empty where no one field is to blame."""

    name: str
    text: str


@dataclass(slots=True)
class Filled:
    """A status body, what could not go into it, and the field behind each pointer that is not named like its field."""

    body: JsonObject = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    behind: dict[str, str] = field(default_factory=dict)

    def put(self, name: str, value: Any) -> None:
        """Put a value at the pointer a dotted name stands for."""
        *parents, last = name.split(".")
        part = self.body
        for parent in parents:
            part = part.setdefault(parent, {})
        part[last] = value

    def wrong(self, name: str, text: str) -> None:
        """Note what is wrong with a field."""
        self.faults.append(Fault(name, text))

    def field_at(self, pointer: str) -> str:
        """Name of the field that filled a pointer, or the nearest above it; empty where there is none."""
        while pointer:
            name = self.behind.get(pointer, pointer[1:].replace("/", "."))
            if name in FIELDS:
                return name
            pointer = pointer.rpartition("/")[0]
        return ""


def filled_from(typed: Typed) -> Filled:
    """The status body that was typed, with the faults this form finds by itself."""
    filled = Filled()
    filled.put("units", system_of(typed))
    as_of = moment_typed(typed)
    filled.put("as_of", as_of.isoformat())
    _plain(typed, filled)
    _on_hand(typed, filled)
    _size(typed, filled)
    _ingredients(typed, filled)
    _points(typed, filled)
    _history(typed, filled, as_of)
    _work(typed, filled, as_of)
    if first(typed, READ_AT):
        read = [at for at in get_args(Aged) if first(typed, RECORDS[at].name)]
        filled.put("read_at", {at: first(typed, READ_AT) for at in read})
    return filled


def moment_typed(typed: Typed) -> datetime:
    """Now, unless the page or the address says otherwise; nobody typed that, so nonsense counts as nothing."""
    for name in (AS_OF, AT):
        try:
            return read_instant(first(typed, name))
        except PydanticCustomError:
            continue
    return datetime.now(UTC).replace(microsecond=0)


def _plain(typed: Typed, filled: Filled) -> None:
    """Fields that each fill the pointer they are named after."""
    for name, asked in FIELDS.items():
        if name == "units" or any(name == apart or name.startswith(f"{apart}.") for apart in _APART):
            continue
        if asked.kind == "many":
            values = _ticked(typed, name, filled)
            if values is not None:
                filled.put(name, values)
        elif first(typed, name):
            value = with_chosen_unit(typed, name)
            filled.put(name, _FLAGS.get(value, value) if name in _FLAG_FIELDS else value)


def _ticked(typed: Typed, name: str, filled: Filled) -> list[str] | None:
    """Ticked ids; an empty list for "none of these", None where nothing was ticked."""
    ticked = list(typed.get(name, ()))
    if not ticked:
        return None
    if NONE_OF_THESE in ticked and len(ticked) > 1:
        none = next(choice.label for choice in FIELDS[name].choices if choice.value == NONE_OF_THESE)
        filled.wrong(name, said("page.fault.none-and-more", none=none))
        return None
    return [value for value in ticked if value != NONE_OF_THESE]


def _on_hand(typed: Typed, filled: Filled) -> None:
    ticked = _ticked(typed, "on_hand", filled)
    more = [name.strip() for name in first(typed, "on_hand.more").split(",") if name.strip()]
    if ticked is None and not more:
        return
    for place in range(len(more)):
        filled.behind[f"/on_hand/{len(ticked or []) + place}"] = "on_hand.more"
    filled.put("on_hand", [*(ticked or []), *more])


def _size(typed: Typed, filled: Filled) -> None:
    """A shape with its measures, or one amount that is a volume or a mass."""
    amount, shape = with_chosen_unit(typed, "pile.size.volume"), first(typed, "pile.size.shape")
    sides = {side: with_chosen_unit(typed, f"pile.size.{side}") for side in ("width", "length", "height")}
    measured = any(sides.values())
    if amount:
        kind = _volume_or_mass(amount, system_of(typed))
        filled.put(f"pile.size.{kind}", amount)
        filled.behind[f"/pile/size/{kind}"] = "pile.size.volume"
    if shape not in _SIDES and (measured or shape):
        filled.wrong("pile.size.shape", said("page.fault.which-shape"))
    elif shape and not measured and not amount:
        filled.wrong("pile.size.width", said("page.fault.no-measures"))
    elif measured:
        wanted = _SIDES[shape]
        filled.put(f"pile.size.{shape}", {inner: sides[side] for side, inner in wanted.items() if sides[side]})
        filled.behind |= {f"/pile/size/{shape}/{inner}": f"pile.size.{side}" for side, inner in wanted.items()}
    filled.behind["/pile/size"] = "pile.size.volume" if amount else "pile.size.shape"


def _volume_or_mass(amount: str, system: System) -> str:
    """Which of the two an amount is; a volume where it cannot be read, so that the refusal says what to write."""
    try:
        return parse_quantity(amount, ("volume", "mass"), system).dimension
    except QuantityError:
        return "volume"


def _rows(typed: Typed, name: str, rows: int, cells: tuple[str, ...]) -> Iterator[tuple[str, dict[str, str]]]:
    """The rows with anything in them: name of the row, and what was typed by cell."""
    for row in range(rows):
        found = {cell: with_chosen_unit(typed, f"{name}.{row}.{cell}") for cell in cells}
        if any(found.values()):
            yield f"{name}.{row}", found


def _ingredients(typed: Typed, filled: Filled) -> None:
    listed: list[dict[str, str]] = []
    for row, cells in _rows(typed, "pile.ingredients", INGREDIENT_ROWS, ("material", "amount")):
        if not cells["material"]:
            filled.wrong(f"{row}.material", said("page.fault.amount-of-what"))
            continue
        for cell in cells:
            filled.behind[f"/pile/ingredients/{len(listed)}/{cell}"] = f"{row}.{cell}"
        listed.append({cell: value for cell, value in cells.items() if value})
    if listed:
        filled.put("pile.ingredients", listed)


def _points(typed: Typed, filled: Filled) -> None:
    """Readings at other places of the heap, each with its depth and side where those are told."""
    listed: list[dict[str, str]] = []
    for row, cells in _rows(typed, "temperatures.points", POINT_ROWS, ("value", "depth", "side")):
        if not cells["value"]:
            filled.wrong(f"{row}.value", said("page.fault.no-reading-there"))
            continue
        place = f"/temperatures/points/{len(listed)}"
        filled.behind |= {f"{place}/{cell}": f"{row}.{cell}" for cell in cells}
        listed.append({cell: value for cell, value in cells.items() if value})
    if listed:
        filled.put("temperatures.points", listed)


def _history(typed: Typed, filled: Filled, as_of: datetime) -> None:
    listed: list[dict[str, str]] = []
    for row, cells in _rows(typed, "history", HISTORY_ROWS, ("core", "ago")):
        at = _moment(cells["ago"], f"{row}.ago", filled, as_of)
        if not cells["core"]:
            filled.wrong(f"{row}.core", said("page.fault.no-reading"))
        if at is None or not cells["core"]:
            continue
        filled.behind |= {f"/history/{len(listed)}/at": f"{row}.ago", f"/history/{len(listed)}/core": f"{row}.core"}
        listed.append({"at": at, "core": cells["core"]})
    for kept in typed.get(EARLIER, ()):
        at, _, core = kept.strip().partition(" ")
        listed.append({"at": at, "core": core})
    if listed:
        filled.put("history", listed)


def _work(typed: Typed, filled: Filled, as_of: datetime) -> None:
    listed: list[dict[str, str]] = []
    for row, cells in _rows(typed, "done", WORK_ROWS, ("action", "ago", "amount")):
        at = _moment(cells["ago"], f"{row}.ago", filled, as_of)
        if not cells["action"]:
            filled.wrong(f"{row}.action", said("page.fault.no-work"))
        if at is None or not cells["action"]:
            continue
        filled.behind |= {f"/done/{len(listed)}/at": f"{row}.ago"}
        filled.behind |= {f"/done/{len(listed)}/{cell}": f"{row}.{cell}" for cell in ("action", "amount")}
        listed.append({"at": at, **{cell: cells[cell] for cell in ("action", "amount") if cells[cell]}})
    if listed:
        filled.put("done", listed)


def _moment(ago: str, name: str, filled: Filled, as_of: datetime) -> str | None:
    """The moment that lies so long before `as_of`; None, with the fault noted, where it cannot be told."""
    if not ago:
        filled.wrong(name, said("page.fault.how-long-ago"))
        return None
    days = days_in(ago)
    if days is None:
        filled.wrong(name, said("page.fault.ago-units"))
        return None
    if not 0 <= days <= LONGEST_AGO_DAYS or not math.isfinite(days):
        filled.wrong(name, said("page.fault.ago-cannot-be"))
        return None
    return (as_of - timedelta(days=days)).isoformat()


def days_in(ago: str) -> float | None:
    """How many days a time is, such as `3 weeks ago`; None where it is no time."""
    try:
        return parse_quantity(ago.lower().removesuffix("ago"), ("duration",), "metric").si
    except QuantityError:
        return None
