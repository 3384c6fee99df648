"""The shape of a problem (RFC 9457), for the description of the interface; `service.problems.problem` makes them."""

from __future__ import annotations

from typing import Annotated, NotRequired

from pydantic import Field
from typing_extensions import TypedDict

from service.problems.outgoing import closed


@closed
class ProblemError(TypedDict):
    """One field or parameter that stands in the way."""

    pointer: Annotated[
        str,
        Field(
            description="Where in the body, as a JSON pointer; empty for the whole body or a parameter.",
            examples=["/temperatures/core"],
        ),
    ]
    detail: Annotated[
        str,
        Field(
            description="What is wrong and what to write instead.",
            examples=["The bare number 131 was read as 131 degC, more than is taken bare. Did you mean degF?"],
        ),
    ]
    parameter: NotRequired[Annotated[str, Field(description="Name of the query parameter.", examples=["effects"])]]
    read: NotRequired[
        Annotated[
            str, Field(description="The value as it was read, with its unit; cut where long.", examples=["131 degC"])
        ]
    ]
    allowed: NotRequired[Annotated[str, Field(description="What is allowed.", examples=["-40 to 95 degC"])]]


@closed
class ProblemDetails(TypedDict):
    """Why a request was refused or failed. If the body spoke of fire, `detail` first says to keep clear."""

    type: Annotated[
        str,
        Field(
            description="URI of the kind of problem; it does not change.",
            examples=["urn:warmheap:problem:invalid-status"],
        ),
    ]
    title: Annotated[
        str, Field(description="What this kind of problem is called.", examples=["The status cannot be used"])
    ]
    status: Annotated[int, Field(description="HTTP status code.", examples=[422])]
    detail: Annotated[
        str,
        Field(
            description="What happened this time, in plain words.",
            examples=["/pile/moisture: 130 % is more than this can be."],
        ),
    ]
    errors: NotRequired[
        Annotated[
            list[ProblemError],
            Field(
                description="The fields in the way, at most 20.",
                examples=[
                    [
                        {
                            "pointer": "/pile/moisture",
                            "detail": "130 % is more than this can be.",
                            "read": "130 %",
                            "allowed": "0 to 100 %",
                        }
                    ]
                ],
            ),
        ]
    ]
