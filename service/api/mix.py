"""`POST /mix`: a recipe judged, or amounts of what is on hand proposed."""

from __future__ import annotations

from typing import Final

from fastapi import APIRouter, Request, Response
from pydantic_core import to_json

from service.http.body import check_is_json, read_body
from service.http.description import BODY_PROBLEMS, Described, answer, problems, shape
from service.http.parameters import check_parameters
from service.mix.answer import answer_mix
from service.mix.shapes.question import MixRequest
from service.status.reading import read_model
from service.work.places import work

router: Final = APIRouter(tags=["advice"])
_EXAMPLES: Final = {
    "judge_a_recipe": {
        "summary": "Judge four parts of chips to one of manure",
        "value": {
            "recipe": [{"material": "wood_chips", "share": 4}, {"material": "horse_manure", "share": 1}],
            "want": {"volume": "10 m3"},
        },
    },
    "propose_amounts": {
        "summary": "Choose amounts of what is on hand",
        "value": {
            "units": "us",
            "on_hand": [
                {"material": "arborist chips"},
                {"material": "horse_manure", "most": "4 yd3"},
                {"material": "urea", "most": "50 lb"},
            ],
            "limits": {"moisture": {"low": "50 %", "high": "60 %"}},
            "want": {"volume": "14 yd3"},
        },
    },
    "mend_a_recipe": {
        "summary": "See what to add to grass that is too wet",
        "value": {
            "recipe": [{"material": "grass_clippings", "amount": "200 kg", "moisture": "80 %"}],
            "on_hand": [{"material": "leaves", "most": "3 m3"}, {"material": "wood_chips_dry"}],
        },
    },
}
_REQUEST: Final[Described] = {
    "required": True,
    "description": "A recipe to judge, things on hand to choose amounts from, or both.",
    "content": {"application/json": {"schema": shape("MixRequest"), "examples": _EXAMPLES}},
}


@router.post(
    "/mix",
    operation_id="post_mix",
    summary="Judge a recipe, or propose amounts",
    description="A recipe is held against the published ranges: carbon that can rot to nitrogen, moisture, air space, "
    "expected peak, ammonia. Of what is on hand, amounts are proposed that keep the limits, come closest to what is "
    "best, and then take the least carrying; where no mix can be made, it says which limit is in the way, what would "
    "do, what to get, and the nearest that can be had. The carbon of wood that cannot rot in time is never fed.",
    response_class=Response,
    responses={
        **answer("Mix", "The judgement and the proposal."),
        **problems(*BODY_PROBLEMS),
    },
    openapi_extra={"requestBody": _REQUEST},
)
async def post_mix(request: Request) -> Response:
    """Read the body, answer, and write the answer's bytes."""
    check_parameters(request)
    check_is_json(request)
    asked = read_model(await read_body(request), MixRequest, "A question about a mix")
    return Response(await work(mix_written, asked), media_type="application/json")


def mix_written(asked: MixRequest) -> bytes:
    """The answer to a question about a mix as JSON."""
    return to_json(answer_mix(asked))
