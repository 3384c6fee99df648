"""What differs between two answers, as it goes out."""

from __future__ import annotations

from typing import Annotated, Any, NotRequired

from pydantic import Field
from typing_extensions import TypedDict

from service.problems.outgoing import closed


@closed
class ValueThenAndNow(TypedDict):
    """A value that differs; the side where it is not there is left out."""

    pointer: Annotated[str, Field(description="Where it stands, as a JSON pointer.", examples=["/headline"])]
    then: NotRequired[Annotated[Any, Field(description="What it was.", examples=["Add water today."])]]
    now: NotRequired[Annotated[Any, Field(description="What it is.", examples=["Add water now."])]]


@closed
class FirstThenAndNow(TypedDict):
    """The first action of either answer."""

    then: Annotated[str | None, Field(description="What it was.", examples=["add_water"])]
    now: Annotated[str | None, Field(description="What it is.", examples=["add_water"])]


@closed
class OrderThenAndNow(TypedDict):
    """The actions of either answer, in order."""

    then: Annotated[list[str], Field(description="What they were.", examples=[["add_water", "keep_going"]])]
    now: Annotated[list[str], Field(description="What they are.", examples=[["add_water"]])]


@closed
class AnswerDifference(TypedDict):
    """What differs between two answers."""

    first_action: Annotated[
        FirstThenAndNow, Field(description="The first action.", examples=[{"then": "add_water", "now": "add_water"}])
    ]
    actions: Annotated[
        OrderThenAndNow, Field(description="The order of actions.", examples=[{"then": ["add_water"], "now": []}])
    ]
    count: Annotated[int, Field(description="How many values differ.", examples=[0])]
    changed: Annotated[list[ValueThenAndNow], Field(description="The first 200 of them.", examples=[[]])]
