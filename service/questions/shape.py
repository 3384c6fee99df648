"""The next best question: what goes in and what comes out."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field
from typing_extensions import TypedDict

from service.problems.json_text import JsonObject
from service.problems.outgoing import closed
from service.status.part import AtMost, Part

Pointer = Annotated[str, Field(max_length=60, strict=True)]


class QuestionPart(BaseModel):
    """The base of what comes out."""

    model_config = ConfigDict(extra="forbid")


@closed
class LikelyAnswer(TypedDict):
    """An answer people give, and what would follow."""

    answer: Annotated[str, Field(description="In words.", examples=["dry"])]
    share: Annotated[
        float, Field(description="How likely it is for this heap; 0 for what hardly fits it.", examples=[0.26])
    ]
    sets: Annotated[
        JsonObject | None,
        Field(
            description="What to put into the status for it, by JSON pointer; null where the answer needs its "
            "own numbers.",
            examples=[{"/moisture_feel": "dry", "/moisture_feel_at": "arm_deep"}],
        ),
    ]
    first_action: Annotated[str, Field(description="What would be done first then.", examples=["add_water"])]


@closed
class FirstAction(TypedDict):
    """What would be done first as things stand."""

    action: Annotated[str, Field(description="Action id.", examples=["keep_going"])]
    title: Annotated[str, Field(description="Its name.", examples=["Keep going as you are"])]


@closed
class NextQuestion(TypedDict):
    """The next best question, or that enough is known."""

    enough: Annotated[bool, Field(description="Whether no open question is worth asking.", examples=[False])]
    question: Annotated[
        str | None,
        Field(
            description="The question; null when enough is known, or nothing more can be asked.",
            examples=["How old is the heap, in days or weeks?"],
        ),
    ]
    field: Annotated[str | None, Field(description="JSON pointer of what it asks for.", examples=["/pile/age"])]
    why: Annotated[
        str,
        Field(
            description="Why it is asked, or why nothing is.",
            examples=["What heat to expect depends on its age first of all."],
        ),
    ]
    changes_first_action: Annotated[
        float | None,
        Field(
            description="Chance that the answer changes what to do first; null for what no advice can do without.",
            examples=[0.32],
        ),
    ]
    answers: Annotated[
        list[LikelyAnswer],
        Field(
            description="Likely answers and what each would lead to.",
            examples=[
                [{"answer": "dry", "share": 0.26, "sets": {"/moisture_feel": "dry"}, "first_action": "add_water"}]
            ],
        ),
    ]
    first_action: Annotated[
        FirstAction | None,
        Field(
            description="What to do first so far; null while age or core is missing.",
            examples=[{"action": "keep_going", "title": "Keep going as you are"}],
        ),
    ]


class QuestionRequest(Part):
    """A status that may still lack its age and core, and what nobody could tell. Beside `skipped` it takes every field
    of `Status`.
    """

    model_config = ConfigDict(extra="allow", frozen=True)

    skipped: Annotated[list[Pointer], AtMost(40)] | None = Field(
        None, description="Fields nobody could tell; they are not asked for again.", examples=[["/smell", "/history"]]
    )
