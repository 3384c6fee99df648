"""Statuses that may still lack what advice cannot do without: checked as far as they go."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from service.problems.fire import fire_warning
from service.problems.json_text import JsonObject, check_data, parse_json
from service.problems.problem import Problem
from service.status.reading import read_status

AGE: Final = "/pile/age"
CORE: Final = "/temperatures/core"
_STAND_INS: Final = {"age": "30 days", "core": "95 degC"}
"""Put in place of what is missing while the rest is checked; hot, so that no outlet seems hotter than the core."""


def lacking(status: Mapping[str, Any]) -> list[str]:
    """Pointers of what advice cannot do without and a status does not tell: its age, and a temperature of the heap."""
    pile, readings = status.get("pile") or {}, status.get("temperatures") or {}
    missing = []
    if not isinstance(pile, Mapping) or (pile.get("age") is None and pile.get("built_on") is None):
        missing.append(AGE)
    known = isinstance(readings, Mapping) and (readings.get("core") is not None or readings.get("points"))
    if not known and not status.get("history"):
        missing.append(CORE)
    return missing


def check_partial(status: Mapping[str, Any]) -> None:
    """Check a status that may lack its age and core. Raises Problem as `read_status` does."""
    whole = dict(status)
    missing = lacking(status)
    if AGE in missing and isinstance(status.get("pile") or {}, Mapping):
        whole["pile"] = {**(status.get("pile") or {}), "age": _STAND_INS["age"]}
    if CORE in missing and isinstance(status.get("temperatures") or {}, Mapping):
        whole["temperatures"] = {**(status.get("temperatures") or {}), "core": _STAND_INS["core"]}
    try:
        read_status(whole)
    except Problem as problem:
        raise problem.warned(fire_warning(status)) from None


def read_partial(body: bytes) -> tuple[JsonObject, list[str]]:
    """A status that may lack its age and core, and the fields in its `skipped`, from JSON bytes. Raises Problem."""
    try:
        data = parse_json(body)
        check_data(data)
        if not isinstance(data, dict):
            raise Problem("invalid-status", "A status is a JSON object.")
        skipped = data.pop("skipped", None)
        skipped = [] if skipped is None else skipped
        if not isinstance(skipped, list) or not all(isinstance(field, str) and len(field) <= 60 for field in skipped):
            detail = 'a list of JSON pointers of fields nobody could tell is wanted, such as ["/smell"].'
            raise Problem("invalid-status", f"/skipped: {detail}", [{"pointer": "/skipped", "detail": detail}])
    except Problem as problem:
        raise problem.warned(fire_warning(body)) from None
    check_partial(data)
    return data, skipped[:40]
