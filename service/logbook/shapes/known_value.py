"""A value of the log with its age, as it goes out."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field
from typing_extensions import TypedDict

from service.problems.outgoing import Moment, closed

_AT = "2026-01-18T07:30:00+01:00"
State = Literal["fresh", "stale", "lapsed", "ended", "set_aside"]


@closed
class KnownValue(TypedDict):
    """One value of the log, how old it is, and whether it still counts."""

    field: Annotated[
        str, Field(description="Where it belongs in a status, as a JSON pointer.", examples=["/temperatures/core"])
    ]
    at: Annotated[Moment, Field(description="When it was read.", examples=[_AT])]
    age_s: Annotated[int, Field(description="How old it was at `as_of`, in seconds.", examples=[5400])]
    state: Annotated[
        State,
        Field(
            description="fresh and stale count (stale with a wider range where it is one of those in "
            "`read_at`); lapsed is "
            "too old; ended by work or by a date; set aside for another value it cannot stand beside.",
            examples=["fresh"],
        ),
    ]
    why: Annotated[str, Field(description="Why it does not count as fresh.", examples=[""])]
