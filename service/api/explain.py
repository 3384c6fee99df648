"""`POST /explain`: a status in, every rule with its tests out, and what would change the first action."""

from __future__ import annotations

from typing import Annotated, Final

from fastapi import APIRouter, Query, Request, Response
from pydantic_core import to_json

from rules import RULES
from service.http.body import check_is_json, read_body
from service.http.description import BODY_PROBLEMS, Described, answer, problems, shape
from service.http.parameters import check_parameters
from service.problems.problem import Problem, cut
from service.status.models import Status
from service.status.names import did_you_mean
from service.status.reading import read_status
from service.why.explanation import explain
from service.work.places import work

router: Final = APIRouter(tags=["advice"])
_PARAMETERS: Final = ("rule",)
_REQUEST: Final[Described] = {
    "required": True,
    "description": "The same status as for advice.",
    "content": {"application/json": {"schema": shape("Status")}},
}


@router.post(
    "/explain",
    operation_id="post_explain",
    summary="Say why, and why not",
    description="Every rule in the light of one status: fired, did not hold, or cannot be told, with each test it "
    "makes, the value it met, the limit, how far off it is, and what to give where something is missing. Beside it the "
    "smallest change of one field that would change the first action, and what each assumption does to the answer.",
    response_class=Response,
    responses={
        **answer("Explanation", "The explanation."),
        **problems(*BODY_PROBLEMS, "invalid-status"),
    },
    openapi_extra={"requestBody": _REQUEST},
)
async def post_explain(
    request: Request,
    rule: Annotated[
        str | None,
        Query(description="Explain this rule alone, which is quicker.", examples=["moisture.too-dry"]),
    ] = None,
) -> Response:
    """Read the body, explain, and write the explanation's bytes."""
    check_parameters(request, *_PARAMETERS)
    if rule is not None and rule not in RULES:
        raise _refused("rule", f"There is no rule of this id.{did_you_mean(rule, RULES)}")
    check_is_json(request)
    status = read_status(await read_body(request))
    return Response(await work(explanation_written, status, rule), media_type="application/json")


def explanation_written(status: Status, rule: str | None) -> bytes:
    """The explanation of a status as JSON."""
    return to_json(explain(status, rule))


def _refused(parameter: str, detail: str) -> Problem:
    return Problem("invalid-request", detail, [{"pointer": "", "parameter": cut(parameter), "detail": detail}])
