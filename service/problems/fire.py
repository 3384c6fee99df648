"""Whether a refused body speaks of fire: whatever is wrong with it, its sender must still be told to keep clear.

This is deliberately credulous. It reads what the strict reader refused, takes every heap temperature the most alarming
way it can honestly be read, and looks for the words. The sentence it gives is conditional, so a false alarm is cheap.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator
from typing import Any, Final

from rules.tables.alarm_words import speaks_of
from rules.tables.thresholds import FIRE_KEEP_CLEAR, FIRE_LOOK_DAILY

KEEP_CLEAR_FROM: Final = f"{FIRE_KEEP_CLEAR.value:g} °C ({FIRE_KEEP_CLEAR.value * 1.8 + 32:g} °F)"
"""The limit from which nobody goes near, in both scales: for texts whose reader may use either."""
WARNING: Final = (
    f"If the heap truly reads {KEEP_CLEAR_FROM} or more, or if smoke is seen: "
    "keep clear of the heap and call the fire service."
)
_INSIDE_WORDS: Final = re.compile(r"smok|burn|smou?lder|flame", re.IGNORECASE)
"""Found inside of words too, as in `isSmoking`; other words and languages stand in `rules.tables.alarm_words`."""
_HEAP_KEY: Final = re.compile(r"temp|core|outer|point|hist|outlet|hot|reading|value|middle|cent(re|er)", re.IGNORECASE)
_OTHER_KEY: Final = re.compile(
    r"outdoor|outside|keep_core|target|inlet|depth|length|side|moisture|amount|flow|(^|_)(at|of)$"
    r"|^(goal|weather|greenhouse|size|done|units)$",
    re.IGNORECASE,
)
_NUMBER: Final = re.compile(
    r"(?:(?<![0-9])[-+])?(?:[0-9]+(?:[.,][0-9]+)*|[.,][0-9]+)(?:e[-+]?[0-9]{1,6})?|[-+]?inf(?:inity)?", re.IGNORECASE
)
_UNIT: Final = re.compile(r"(?:\b|[0-9°º˚])\s?(?:deg(?:rees?)?)?[ _]?([cfk]|cel|celsius|fahrenheit)\b", re.IGNORECASE)
_WRITTEN_OUT: Final = re.compile(rf"(?<![A-Za-z0-9])(?:{_NUMBER.pattern}){_UNIT.pattern}", re.IGNORECASE)
_PAIR: Final = re.compile(r"""(?<!\w)([A-Za-z_]\w*+)["']?\s{0,20}+[:=]([^,}{:&\n]{0,80})""")
_ESCAPE: Final = re.compile(r"\\u([0-9a-fA-F]{4})")
_LARGEST_PARSED: Final = 64 * 1024
_LARGEST_SEARCHED: Final = 1024 * 1024


class _Pairs(list[tuple[str, Any]]):
    """A JSON object with every key it was given, twins included."""


def fire_warning(body: object) -> str | None:
    """The sentence to put before a refusal of `body` (bytes, or parsed JSON), or None where nothing speaks of fire."""
    if not isinstance(body, bytes):
        return WARNING if _tree_alarms(body) else None
    if len(body) <= _LARGEST_PARSED:
        try:
            return WARNING if _tree_alarms(json.loads(body, object_pairs_hook=_Pairs)) else None
        except (ValueError, RecursionError):
            pass
    return WARNING if _text_alarms(body) else None


def speaks_of_fire(text: str) -> bool:
    """Whether a word of fire stands in a text."""
    return _INSIDE_WORDS.search(text) is not None or speaks_of("fire", text)


def _text_alarms(body: bytes) -> bool:
    """Search text that is not JSON, or is too long to take apart. UTF-16 reads like ASCII without its NULs."""
    text = body[:_LARGEST_SEARCHED].replace(b"\0", b"").decode("utf-8", "replace")
    text = _ESCAPE.sub(lambda match: chr(int(match[1], 16)), text)
    if speaks_of_fire(text):
        return True
    fahrenheit = re.search(r"""units["']?\s{0,20}[:=]\s{0,20}["']?us\b""", text) is not None
    return any(
        _is_alarming(written.strip(" \t\r\"'[]"), named=_HEAP_KEY.search(key) is not None, fahrenheit=fahrenheit)
        for key, written in _PAIR.findall(text)
        if not _OTHER_KEY.search(key)
    )


def _tree_alarms(tree: object) -> bool:
    """Search parsed JSON."""
    fahrenheit = isinstance(tree, (dict, _Pairs)) and ("units", "us") in _pairs(tree)
    return any(
        (isinstance(value, str) and speaks_of_fire(value))
        or (not elsewhere and _is_alarming(value, named=named, fahrenheit=fahrenheit))
        for value, named, elsewhere in _leaves(tree)
    )


def _pairs(node: dict[Any, Any] | _Pairs) -> list[tuple[Any, Any]]:
    return node if isinstance(node, _Pairs) else list(node.items())


def _leaves(tree: object) -> Iterator[tuple[object, bool, bool]]:
    """Every key and scalar; whether a heap temperature is named above it; whether something else is."""
    waiting: list[tuple[object, bool, bool]] = [(tree, False, False)]
    while waiting:
        node, named, elsewhere = waiting.pop()
        if isinstance(node, (dict, _Pairs)):
            for key, value in _pairs(node):
                yield key, False, True
                name = str(key)
                other = elsewhere or _OTHER_KEY.search(name) is not None
                waiting.append((value, named or _HEAP_KEY.search(name) is not None, other))
        elif isinstance(node, (list, tuple)):
            waiting.extend((value, named, elsewhere) for value in node)
        else:
            yield node, named, elsewhere


def _is_alarming(value: object, *, named: bool, fahrenheit: bool) -> bool:
    """Whether a scalar can honestly be read as a heap at 70 degC or more; without a name only where it has a unit."""
    if isinstance(value, bool):
        return False
    if isinstance(value, (int, float)):
        return named and _celsius(_as_float(value), "f" if fahrenheit else "c") >= FIRE_LOOK_DAILY.value
    if not isinstance(value, str):
        return False
    text = value[:200]
    unit = _UNIT.search(text)
    if not named and (unit is None or _WRITTEN_OUT.search(text) is None):
        return False  # an id such as 7b31f95c is no temperature
    bare_scale = "f" if fahrenheit and text.strip().replace(".", "", 1).isdigit() else "c"
    scale = unit[1][0].lower() if unit else bare_scale
    return any(_celsius(_number(match[0]), scale) >= FIRE_LOOK_DAILY.value for match in _NUMBER.finditer(text))


def _as_float(value: float) -> float:
    try:
        return float(value)
    except OverflowError:
        return math.inf if value > 0 else -math.inf


def _number(text: str) -> float:
    """A written number; a comma before three digits is taken as a mark between thousands, the larger reading."""
    plain = re.sub(r"[.,](?=[0-9]{3}[.,])|,(?=[0-9]{3}(?![0-9]))", "", text).replace(",", ".")
    try:
        return float(plain)
    except ValueError:
        return math.nan


def _celsius(number: float, scale: str) -> float:
    """Reading in degC, rounded so that 158 degF is 70."""
    if not math.isfinite(number):
        return number
    return round((number - 32) / 1.8, 6) if scale == "f" else number - 273.15 if scale == "k" else number
