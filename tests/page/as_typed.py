"""A status as somebody would type it into the form: for comparing the form with the interface."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from service.page.form import FIELDS, INGREDIENT_ROWS, POINT_ROWS, WORK_ROWS

Pairs = list[tuple[str, str]]


def as_typed(body: dict[str, Any]) -> Pairs:
    """The values of a status body, as the form sends them; what the form does not ask is left out."""
    as_of = datetime.fromisoformat(body["as_of"])
    pairs: Pairs = [("as_of", body["as_of"]), ("units", body.get("units", "metric"))]
    pairs += [("earlier", f"{reading['at']} {reading['core']}") for reading in body.get("history") or []]
    for row, work in enumerate((body.get("done") or [])[:WORK_ROWS]):
        ago = (as_of - datetime.fromisoformat(work["at"])).total_seconds() / 3600
        pairs += [(f"done.{row}.action", work["action"]), (f"done.{row}.ago", f"{ago} hours")]
        pairs += [(f"done.{row}.amount", str(work["amount"]))] if "amount" in work else []
    for row, point in enumerate((body["temperatures"].get("points") or [])[:POINT_ROWS]):
        pairs += [(f"temperatures.points.{row}.{cell}", str(value)) for cell, value in point.items()]
    for row, part in enumerate((body["pile"].get("ingredients") or [])[:INGREDIENT_ROWS]):
        pairs += [
            (f"pile.ingredients.{row}.{cell}", str(part[cell])) for cell in ("material", "amount") if cell in part
        ]
    pairs += _size(body["pile"].get("size") or {})
    pairs += _lists(body)
    if "checked" in (body.get("probe") or {}):
        pairs.append(("probe.checked", "yes" if body["probe"]["checked"] else "no"))
    done = {name for name, _ in pairs}
    pairs += [(name, str(value)) for name, value in _leaves(body) if name in FIELDS and name not in done]
    return pairs


def _lists(body: dict[str, Any]) -> Pairs:
    pairs: Pairs = []
    for name in ("signs", "equipment", "on_hand"):
        known = {choice.value for choice in FIELDS[name].choices}
        said = ["none"] if body.get(name) == [] else body.get(name) or []
        pairs += [(name, value) for value in said if value in known]
        others = ", ".join(value for value in said if value not in known)
        pairs += [(f"{name}.more", others)] if others else []
    return pairs


def _size(size: dict[str, Any]) -> Pairs:
    for kind, unit in (("volume", "m3"), ("mass", "kg")):
        if kind in size:
            amount = size[kind]
            return [("pile.size.volume", f"{amount} {unit}" if isinstance(amount, (int, float)) else amount)]
    for shape, sides in size.items():
        named = [(f"pile.size.{'width' if side == 'diameter' else side}", str(far)) for side, far in sides.items()]
        return [("pile.size.shape", shape), *named]
    return []


def _leaves(part: dict[str, Any], above: str = "") -> Pairs:
    pairs: Pairs = []
    for name, value in part.items():
        if isinstance(value, dict):
            pairs += _leaves(value, f"{above}{name}.")
        elif value is not None and not isinstance(value, (list, bool)):
            pairs.append((f"{above}{name}", value))
    return pairs
