"""Good bodies, odd values, and good bodies with an odd value in each place."""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

_EXAMPLES: Final = Path(__file__).parents[2] / "openapi_examples"
JSON: Final = "application/json"
PILE: Final = "{pile}"
"""Stands for the pile of the test in a path."""
ADVICE: Final = "{advice}"


@dataclass(frozen=True, slots=True)
class Case:
    """One request."""

    name: str
    method: str
    path: str
    body: bytes = b""
    headers: dict[str, str] = field(default_factory=dict)


def _example(name: str) -> Any:
    return json.loads((_EXAMPLES / f"{name}.request.json").read_text())


AT: Final = "2026-01-15T07:30:00Z"
_STATUS: Final = {
    **_example("advice.dry_and_falling"),
    "signs": ["steam"],
    "greenhouse": {"volume": "60 m3", "glazing": "double_film", "night_target": "5 degC"},
    "probe": {"length": "1.2 m", "checked": True},
    "on_hand": ["urea", "tarp"],
}
_WORD: Final = {
    "advice": ADVICE, "action": "add_water", "verdict": "done", "comment": "x", "amount": "60 gal",
    "outcome": "better", "outcome_at": AT,
}  # fmt: skip
_SIZING: Final = {
    "heat": {"power": "200 W"},
    "days": "2 months",
    "largest": {"height": "2 m", "diameter": "5 m"},
    "equipment": ["water_loop"],
}
_STATE: Final = {"status": {"pile": {"age": "10 weeks"}}, "asked": "/smell", "skipped": ["/signs"], "advised_at": AT}
_MIX: Final = {
    "ingredients": [{"material": "wood_chips", "amount": "3 m3"}, {"material": "horse_manure", "amount": "1 m3"}]
}
GOOD: Final[dict[tuple[str, str], Any]] = {
    ("POST", "/advice?effects=none"): _STATUS,
    ("POST", "/advice"): {"pile": {"age": 20}, "temperatures": {"core": 45}},
    ("POST", "/explain"): {"pile": {"age": 20}, "temperatures": {"core": 45}},
    ("POST", "/questions"): {"pile": {"age": 20}, "skipped": ["/smell"]},
    ("POST", "/outlook"): {"pile": {"age": 20}, "temperatures": {"core": 45}},
    ("POST", "/mix"): _MIX,
    ("POST", "/sizing"): _SIZING,
    ("POST", "/greenhouse"): _example("planning/greenhouse.house_and_heap"),
    ("POST", "/season"): _example("planning/season.a_winter"),
    ("POST", "/build-sheet"): _example("planning/build_sheet.chosen_size"),
    ("POST", "/chat"): {"text": "core 121 F", "state": _STATE, "units": "us", "as_of": AT},
    ("POST", "/piles"): {"name": "x", "units": "us", "zone": "Europe/Berlin", "about": {"season": "heating"}},
    ("PATCH", f"/piles/{PILE}"): {"name": "y", "units": "metric", "zone": "UTC"},
    ("POST", f"/piles/{PILE}/readings"): {"readings": [{"at": AT, "temperatures": {"core": "40 C"}, "signs": []}]},
    ("POST", f"/piles/{PILE}/work"): {"at": AT, "action": "add_water", "amount": "60 gal"},
    ("POST", f"/piles/{PILE}/feedback"): {"feedback": [_WORD]},
    ("POST", f"/piles/{PILE}/webhooks"): {"url": "https://hooks.example.org/heap", "events": ["fire.risk"]},
    ("POST", "/mcp"): {"jsonrpc": "2.0", "id": 1, "method": "tools/call", "params": {"name": "mix", "arguments": _MIX}},
}
"""A body that is good, by route."""
HEAVY: Final = frozenset({"/sizing", "/season", "/greenhouse", "/build-sheet"})
"""Routes on which a body that is nearly good is much work: fewer odd values are tried there."""

ODD: Final[list[Any]] = [
    None, True, -1, 0, 10**400, 1e308, -1e-308, 2**63, "", " ", "0", "NaN", "1e400 degC", "\0", "\ud800", "x" * 5000,
    "<script>", "../../etc/passwd", "'; DROP TABLE piles; --", "{}", "%00", "\u202e\u2066", "\ufdfa" * 50,
    "0001-01-01T00:00:00Z", "9999-12-31T23:59:59+23:59", "2026-02-30T00:00:00Z", "24:00", [], {}, [[]], [None] * 2000,
    {"a": {"b": 1}}, {"": 0}, {"__proto__": 1},
]  # fmt: skip
FEW_ODD: Final = [None, -1, 10**400, "", "\ud800", [], {}]


def deep(levels: int) -> Any:
    data: Any = 0
    for _ in range(levels):
        data = [data]
    return data


def places(data: Any, place: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Every place in data but the first, objects and lists themselves included."""
    inner = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for key, value in inner:
        yield (*place, key)
        yield from places(value, (*place, key))


def with_value(data: Any, place: tuple[str | int, ...], value: Any) -> Any:
    """A copy with another value in one place."""
    changed = copy.deepcopy(data)
    within = changed
    for part in place[:-1]:
        within = within[part]
    within[place[-1]] = value
    return changed


def written(data: Any) -> bytes:
    """Data as JSON, half characters and all."""
    return json.dumps(data).encode()


def spoilt_files(file: dict[str, Any]) -> Iterator[Case]:
    """An export with an odd value in every place: of each section the first entry, and the answer in its text."""
    short = {name: value[:1] if isinstance(value, list) else value for name, value in file.items()}
    for place in places(short):
        for value in ODD:
            body = written(with_value(short, place, value))
            yield Case(f"import {str(value)[:20]!r} at {place}", "POST", "/piles/import", body, {"content-type": JSON})
    answer = json.loads(short["advice"][0]["answer"])
    for place in [place for place in places(answer) if len(place) <= 2 or place[:2] == ("actions", 0)]:
        for value in (*ODD, deep(200)):
            spoilt = json.dumps(with_value(answer, place, value))
            body = written(with_value(short, ("advice", 0, "answer"), spoilt))
            yield Case(f"answer {str(value)[:20]!r} at {place}", "POST", "/piles/import", body, {"content-type": JSON})
