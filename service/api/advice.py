"""`POST /advice`: a status in, ranked actions with reasons out."""

from __future__ import annotations

from typing import Annotated, Final, Literal

from fastapi import APIRouter, Query, Request, Response
from pydantic_core import to_json

from service.answer.advice import advise
from service.answer.shapes.part import WhatIfs
from service.http.body import check_is_json, read_body
from service.http.description import BODY_PROBLEMS, Described, answer, problems, shape
from service.http.parameters import check_parameters
from service.status.models import Status
from service.status.reading import read_status
from service.work.places import ADVICE, work

router: Final = APIRouter(tags=["advice"])
_PARAMETERS: Final = ("effects",)
_REQUEST: Final[Described] = {
    "required": True,
    "description": "What is known of the pile. Only its age and one core temperature are needed.",
    "content": {"application/json": {"schema": shape("Status")}},
}


@router.post(
    "/advice",
    operation_id="post_advice",
    summary="Advise on one pile",
    description="Ranked actions, each with the reasons that triggered it, its dose, its effect and its cautions, with "
    "a heat balance beside it. The same status with `as_of` gives the same answer under the same knowledge version.",
    response_class=Response,
    responses={
        **answer("Advice", "The advice."),
        **problems(*BODY_PROBLEMS, "invalid-status"),
    },
    openapi_extra={"requestBody": _REQUEST},
)
async def post_advice(
    request: Request,
    effects: Annotated[
        Literal["none", "full"],
        Query(
            description="full: with what each action is expected to gain; none: without, and quicker.",
            examples=["none"],
        ),
    ] = "full",
) -> Response:
    """Read the body, advise, and write the answer's bytes."""
    check_parameters(request, *_PARAMETERS)
    check_is_json(request)
    status = read_status(await read_body(request))
    written = await work(advice_written, status, effects, weight=ADVICE[effects])
    return Response(written, media_type="application/json")


def advice_written(status: Status, effects: WhatIfs) -> bytes:
    """The advice on a status as JSON."""
    return to_json(advise(status, effects))
