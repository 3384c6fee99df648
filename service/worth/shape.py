"""A question worth answering, as it goes out."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field
from typing_extensions import TypedDict

from service.problems.outgoing import closed


@closed
class AskNext(TypedDict):
    """A question worth answering."""

    question: Annotated[
        str, Field(description="The question, in plain words.", examples=["Squeeze a handful: is it dry or damp?"])
    ]
    field: Annotated[str, Field(description="Where the answer goes, as a JSON pointer.", examples=["/moisture_feel"])]
    why: Annotated[str, Field(description="Why it helps.", examples=["Dry and wet heaps want opposite care."])]
    changes_first_action: Annotated[
        float | None,
        Field(
            description="Chance that the answer changes the first action; null with `effects=none`.",
            ge=0,
            le=1,
            examples=[0.41],
        ),
    ]
    heat_at_stake: Annotated[
        float | None,
        Field(
            description="Share of the heap's heat to the goal that acting now is expected to lose against "
            "acting on the "
            "answer; null with `effects=none`.",
            ge=0,
            examples=[0.08],
        ),
    ]
