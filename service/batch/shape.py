"""One line of the answer to a batch."""

from __future__ import annotations

from typing import Annotated, NotRequired

from pydantic import Field
from typing_extensions import TypedDict

from service.answer.shapes.advice import Advice
from service.problems.outgoing import closed
from service.problems.shape import ProblemDetails


@closed
class BatchLine(TypedDict):
    """The answer to one line of a batch: `advice` or `problem`, never both."""

    line: Annotated[
        int, Field(description="Number of the line that is answered, blank lines counted.", ge=1, examples=[1])
    ]
    advice: NotRequired[
        Annotated[
            Advice | None,
            Field(
                description="The advice, as `/advice?effects=none` gives it; absent with a problem.", examples=[None]
            ),
        ]
    ]
    problem: NotRequired[
        Annotated[
            ProblemDetails,
            Field(
                description="The problem the line would have got by itself; absent with advice.",
                examples=[
                    {
                        "type": "urn:warmheap:problem:invalid-status",
                        "title": "The status cannot be used",
                        "status": 422,
                        "detail": "/pile/age: this field is needed.",
                        "errors": [{"pointer": "/pile/age", "detail": "this field is needed."}],
                    }
                ],
            ),
        ]
    ]
