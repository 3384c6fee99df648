"""JSON schemas of everything that goes in and out. Imported only when the description is asked for: it costs time."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel, TypeAdapter
from pydantic.json_schema import JsonSchemaValue

from service.answer.shapes.advice import Advice
from service.api import chat_shapes as chat
from service.api import log_book_shapes as log_book
from service.api import planning_shapes as planning
from service.api import push_shapes as push
from service.api.home_shapes import Home, Live, Ready
from service.batch.shape import BatchLine
from service.mix.shapes.answer import Mix
from service.mix.shapes.question import MixRequest
from service.outlook.shape import OutlookAnswer
from service.problems.shape import ProblemDetails
from service.status.models import Status
from service.why.material_pages import MaterialPage, MaterialsIndex, WordsIndex
from service.why.rule_pages import RulePage, RulesIndex
from service.why.shape import Explanation

OUTGOING: tuple[type[Any], ...] = (
    Advice,
    BatchLine,
    Explanation,
    Home,
    Live,
    MaterialPage,
    MaterialsIndex,
    Mix,
    OutlookAnswer,
    ProblemDetails,
    Ready,
    RulePage,
    RulesIndex,
    WordsIndex,
    *chat.OUTGOING,
    *log_book.OUTGOING,
    *planning.OUTGOING,
    *push.OUTGOING,
)
INCOMING: tuple[type[BaseModel], ...] = (
    Status,
    MixRequest,
    *chat.INCOMING,
    *log_book.INCOMING,
    *planning.INCOMING,
    *push.INCOMING,
)


def schemas() -> dict[str, JsonSchemaValue]:
    """Schema by the name of its shape."""
    _, definitions = TypeAdapter.json_schemas(
        [
            *((shape.__name__, "validation", TypeAdapter(shape)) for shape in INCOMING),
            *((shape.__name__, "serialization", TypeAdapter(shape)) for shape in OUTGOING),
        ],
        ref_template="#/components/schemas/{model}",
    )
    named: dict[str, JsonSchemaValue] = definitions["$defs"]
    return named | log_book.OTHERS | push.OTHERS
