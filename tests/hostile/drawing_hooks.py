"""What schemathesis must be told of our media types; loaded by its command (SCHEMATHESIS_HOOKS)."""

from __future__ import annotations

import json
from typing import Any

import schemathesis
from schemathesis.core.parameters import ParameterLocation


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


@schemathesis.check
def a_line_that_cannot_be_has_its_problem(ctx: Any, response: Any, case: Any) -> None:
    """What the description forbids gets no advice in a batch either."""
    forbidden = case.meta is not None and case.meta.is_negative_at(ParameterLocation.BODY)
    if case.path == "/advice/batch" and response.status_code == 200 and forbidden and isinstance(case.body, dict):
        told = [json.loads(line) for line in response.content.splitlines()]
        assert all("problem" in line for line in told), "a line that cannot be was taken"
