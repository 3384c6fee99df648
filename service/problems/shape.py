"""The shape of a problem (RFC 9457), for the description of the interface; `service.problems.problem` makes them."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict, Field


class ProblemError(BaseModel):
    """One field or parameter that stands in the way."""

    model_config = ConfigDict(extra="forbid")

    pointer: str = Field(
        description="Where in the body, as a JSON pointer; empty for the whole body or a parameter.",
        examples=["/temperatures/core"],
    )
    detail: str = Field(
        description="What is wrong and what to write instead.",
        examples=["The bare number 131 was read as 131 degC, more than is taken bare. Did you mean degF?"],
    )
    parameter: str | None = Field(None, description="Name of the query parameter.", examples=["effects"])
    read: str | None = Field(
        None, description="The value as it was read, with its unit; cut where long.", examples=["131 degC"]
    )
    allowed: str | None = Field(None, description="What is allowed.", examples=["-40 to 95 degC"])


class ProblemDetails(BaseModel):
    """Why a request was refused or failed. If the body spoke of fire, `detail` first says to keep clear."""

    model_config = ConfigDict(extra="forbid")

    type: str = Field(
        description="URI of the kind of problem; it does not change.", examples=["urn:warmheap:problem:invalid-status"]
    )
    title: str = Field(description="What this kind of problem is called.", examples=["The status cannot be used"])
    status: int = Field(description="HTTP status code.", examples=[422])
    detail: str = Field(
        description="What happened this time, in plain words.",
        examples=["/pile/moisture: 130 % is more than this can be."],
    )
    errors: list[ProblemError] | None = Field(
        None,
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
    )
