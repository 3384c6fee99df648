"""`POST /questions`: the next best question for what is known so far, or that enough is known."""

from __future__ import annotations

from typing import Any, Final

from fastapi import APIRouter, Request, Response
from pydantic_core import to_json

from service.http.body import check_is_json, read_body
from service.http.description import BODY_PROBLEMS, Described, answer, problems, shape
from service.http.parameters import check_parameters
from service.work.places import work

router: Final = APIRouter(tags=["advice"])
_EXAMPLES: Final = {
    "nothing_yet": {"summary": "Nothing is known yet", "value": {}},
    "some": {
        "summary": "Some is known, and one thing nobody could tell",
        "value": {
            "pile": {"age": "8 weeks"},
            "temperatures": {"core": "47 degC"},
            "moisture_feel": "damp",
            "skipped": ["/history"],
        },
    },
}
_REQUEST: Final[Described] = {
    "required": True,
    "description": "A status as for advice; its age and core may be missing. `skipped` lists what nobody could tell.",
    "content": {"application/json": {"schema": shape("QuestionRequest"), "examples": _EXAMPLES}},
}


@router.post(
    "/questions",
    operation_id="post_questions",
    summary="Ask what to ask next",
    description="The question whose likely answers would most often change what to do first, with the reason and what "
    "each answer would lead to, or `enough`. Age and core come first. Nothing is kept: put the answer into the "
    "status, or its field into `skipped`, and ask again.",
    response_class=Response,
    responses={
        **answer("NextQuestion", "The question, or that enough is known."),
        **problems(*BODY_PROBLEMS, "invalid-status"),
    },
    openapi_extra={"requestBody": _REQUEST},
)
async def post_questions(request: Request) -> Response:
    """Read the body, weigh the open questions, and write the answer's bytes."""
    from service.status.partial import read_partial

    check_parameters(request)
    check_is_json(request)
    status, skipped = read_partial(await read_body(request))
    return Response(await work(question_written, status, skipped), media_type="application/json")


def question_written(status: Any, skipped: Any) -> bytes:
    """The next question as JSON."""
    from service.questions.question import next_question

    return to_json(next_question(status, skipped))
