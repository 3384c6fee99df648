"""What a reply of the chat is made of besides its text."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Field
from typing_extensions import TypedDict

from service.problems.outgoing import closed


@closed
class Understood(TypedDict):
    """One thing that was read."""

    field: Annotated[
        str,
        Field(
            description="Where it went in the status; `/-` at its end adds to a list.", examples=["/temperatures/core"]
        ),
    ]
    value: Annotated[Any, Field(description="The value in contract words, with its unit.", examples=["121 degF"])]
    said: Annotated[str, Field(description="The same in words.", examples=["core 121 °F"])]


@closed
class UnreadWords(TypedDict):
    """Words that were not read."""

    text: Annotated[str, Field(description="The words.", examples=["core 115-121f"])]
    why: Annotated[str, Field(description="Why not.", examples=["the number could mean more than one thing"])]


@closed
class ChatQuestion(TypedDict):
    """The one question that would help most."""

    question: Annotated[str, Field(description="The question.", examples=["How old is the heap, in days or weeks?"])]
    field: Annotated[
        str,
        Field(description="What it asks for; `/units` for the scale of temperatures.", examples=["/pile/age"]),
    ]
    why: Annotated[str, Field(description="Why it is asked.", examples=["A number of degrees means two things."])]


@closed
class ChatAction(TypedDict):
    """One advised action in short."""

    rank: Annotated[int, Field(description="Place in the ranking; `why` and this number explains it.", examples=[1])]
    action: Annotated[str, Field(description="Action id.", examples=["add_water"])]
    title: Annotated[str, Field(description="Its name.", examples=["Add water"])]
    urgency: Annotated[str, Field(description="now, today, this_week, this_month or next_pile.", examples=["today"])]
