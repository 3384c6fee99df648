"""What was learned of a heap, as it goes out and may come back."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field
from typing_extensions import TypedDict

from service.problems.outgoing import Moment, closed


@closed
class LearnedShown(TypedDict):
    """Members of the model that fit the log of this heap."""

    as_of: Annotated[Moment, Field(description="The moment it was learned at.", examples=["2026-01-18T07:30:00+00:00"])]
    of: Annotated[int, Field(description="The set of members it speaks of.", examples=[1])]
    members: Annotated[
        list[int], Field(description="Their numbers, each as often as it weighs.", examples=[[3, 17, 17, 204]])
    ]
