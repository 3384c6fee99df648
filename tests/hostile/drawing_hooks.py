"""What schemathesis must be told of our media types; loaded by its command (SCHEMATHESIS_HOOKS)."""

from __future__ import annotations

import json
from typing import Any

import schemathesis


@schemathesis.serializer("application/x-ndjson")
def lines(ctx: Any, value: Any) -> bytes:
    """One line for each drawn status."""
    drawn = value if isinstance(value, list) else [value]
    return b"".join(json.dumps(each).encode() + b"\n" for each in drawn)


@schemathesis.deserializer("application/x-ndjson")
def first_line(ctx: Any, response: Any) -> Any:
    """The first line of the answer, which stands for all."""
    first: bytes = response.content.partition(b"\n")[0]
    return json.loads(first or b"{}")


@schemathesis.deserializer("text/csv", "text/calendar")
def text(ctx: Any, response: Any) -> Any:
    """Tables and calendars are texts."""
    return response.content.decode()
