"""JSON bytes to plain Python data, refusing what could hide something or cannot be handled safely."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any, Final, NoReturn

from service.problems.problem import Problem, cut, pointer

JsonObject = dict[str, Any]
"""A JSON object whose members are not ours to name: a body as somebody sent it, or a part of one.

Nothing of ours that goes out is one but where it gives back what came in: answers have shapes.
"""
LARGEST_BODY: Final = 256 * 1024
DEEPEST: Final = 16
MOST_VALUES: Final = 5000
LONGEST_TEXT: Final = 200
LARGEST_NUMBER: Final = 1e15
MOST_FIELDS: Final = 1000
"""In one object, so that what no model knows is refused before each unknown name becomes an error of its own: the
widest object of ours has a tenth (ours)."""


def parse_json(body: bytes) -> Any:
    """The data in `body`.

    Raises
    ------
    Problem
        If it is too large, not UTF-8, not JSON, or has a key twice in one object (one of the two would be lost).
    """
    if len(body) > LARGEST_BODY:
        raise Problem("body-too-large", f"The body is larger than {LARGEST_BODY // 1024} kB.")
    if not body.strip():
        raise Problem("malformed-json", "The body is empty; a status as a JSON object is wanted.")
    try:
        text = body.decode("utf-8")
    except UnicodeDecodeError as error:
        raise Problem("malformed-json", f"The body is not UTF-8 text: byte {error.start} cannot be read.") from None
    return parse_text(text)


def parse_text(text: str) -> Any:
    """The data in a text of any length; raises Problem as `parse_json` does."""
    if text.startswith("\N{ZERO WIDTH NO-BREAK SPACE}"):
        raise Problem("malformed-json", "The body starts with a byte-order mark; JSON is sent without one.")
    try:
        return _DECODER.decode(text)
    except json.JSONDecodeError as error:
        detail = f"The body is not JSON: line {error.lineno}, column {error.colno}: {error.msg}."
        raise Problem("malformed-json", detail) from None
    except RecursionError:
        raise Problem("malformed-json", f"The body is nested deeper than {DEEPEST} levels.") from None
    except ValueError:  # more digits than Python converts
        raise Problem("malformed-json", "The body holds a number with too many digits.") from None


def _object(pairs: list[tuple[str, Any]]) -> JsonObject:
    if len(pairs) > MOST_FIELDS:
        raise Problem("invalid-status", f"One object holds {len(pairs)} fields; at most {MOST_FIELDS} are read.")
    members = dict(pairs)
    if len(members) != len(pairs):
        twice = first_twice(name for name, _ in pairs) or ""
        raise Problem("malformed-json", f'The field "{cut(twice)}" is given twice in one object; keep one.')
    return members


def first_twice(names: Iterable[str]) -> str | None:
    """The first name that came before, None where each comes once; the work grows with their number alone."""
    seen: set[str] = set()
    for name in names:
        if name in seen:
            return name
        seen.add(name)
    return None


def _constant(name: str) -> NoReturn:
    raise Problem("malformed-json", f"{name} is not JSON; leave the field out where there is no number.")


_DECODER: Final = json.JSONDecoder(object_pairs_hook=_object, parse_constant=_constant)


def check_data(data: Any, most_values: int = MOST_VALUES, longest_text: int = LONGEST_TEXT) -> None:
    """Refuse data that is too deep or too much, and texts and numbers that cannot be handled."""
    try:
        _Checker(most_values, longest_text).check(data, 0)
    except _Refused as refused:
        place = pointer(tuple(reversed(refused.inside_out)))
        detail = f"{refused.detail}."
        raise Problem(
            "invalid-status", f"{place or 'The body'}: {detail}", [{"pointer": place, "detail": detail}]
        ) from None


class _Refused(Exception):
    """What is wrong with a value, and the way to it: gathered on the way out, so that good data pay nothing."""

    def __init__(self, detail: str) -> None:
        self.detail = detail
        self.inside_out: list[str | int] = []


class _Checker:
    """One walk over the data, counting the values."""

    def __init__(self, most_values: int, longest_text: int) -> None:
        self._values = 0
        self._most_values = most_values
        self._longest_text = longest_text

    def check(self, value: Any, depth: int) -> None:
        """Refuse `value`, found this deep, or anything inside it."""
        self._values += 1
        if self._values > self._most_values:
            raise Problem("invalid-status", f"The body holds more than {self._most_values} values.")
        if isinstance(value, str):
            self._check_text(value)
        elif isinstance(value, dict):
            for name in value:
                self._check_text(name)
            self._inside(value.items(), depth)
        elif isinstance(value, list):
            self._inside(enumerate(value), depth)
        elif isinstance(value, (int, float)):
            if not abs(value) <= LARGEST_NUMBER:  # NaN is not either
                raise _Refused("the number is too large, or no number at all")
        elif value is not None:
            raise _Refused(f"a {type(value).__name__} is not JSON")

    def _inside(self, parts: Iterable[tuple[str | int, Any]], depth: int) -> None:
        if depth > DEEPEST:
            raise Problem("invalid-status", f"The body is nested deeper than {DEEPEST} levels.")
        part: str | int = 0
        try:
            for part, value in parts:  # noqa: B007
                self.check(value, depth + 1)
        except _Refused as refused:
            refused.inside_out.append(part)
            raise

    def _check_text(self, text: Any) -> None:
        if not isinstance(text, str):
            raise _Refused("the name of a field is not a text")
        if len(text) > self._longest_text:
            raise _Refused(f"a text or name is longer than {self._longest_text} characters")
        if text.isascii() and text.isprintable():
            return
        if any(mark < " " or mark == "\x7f" or "\ud800" <= mark <= "\udfff" for mark in text):
            raise _Refused("a text or name holds a control character or half a character")
