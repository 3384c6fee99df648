"""JSON schemas of everything that goes in and out. Imported only when the description is asked for: it costs time."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel
from pydantic.json_schema import models_json_schema

from service.answer.shapes.advice import Advice
from service.api import chat_shapes as chat
from service.api import log_book_shapes as log_book
from service.api import planning_shapes as planning
from service.api import push_shapes as push
from service.api.knowledge_shapes import Home, Live, MaterialPage, MaterialsIndex, Ready, RulePage, RulesIndex
from service.api.words_shape import WordsIndex
from service.batch.shape import BatchLine
from service.mix.shapes.answer import Mix
from service.mix.shapes.question import MixRequest
from service.outlook.shape import OutlookAnswer
from service.problems.shape import ProblemDetails
from service.status.models import Status
from service.why.shape import Explanation

OUTGOING: tuple[type[BaseModel], ...] = (
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


def schemas() -> dict[str, Any]:
    """Schema by model name."""
    _, definitions = models_json_schema(
        [*((model, "validation") for model in INCOMING), *((model, "serialization") for model in OUTGOING)],
        ref_template="#/components/schemas/{model}",
    )
    named: dict[str, Any] = definitions["$defs"]
    return named | log_book.OTHERS | push.OTHERS
