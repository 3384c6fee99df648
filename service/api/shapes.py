"""JSON schemas of everything that goes in and out. Imported only when the description is asked for: it costs time."""

from __future__ import annotations

from typing import Any

from pydantic.json_schema import models_json_schema

from service.schema.advice import Advice
from service.schema.mix import MixRequest
from service.schema.mix_answer import Mix
from service.schema.pages import Home, Live, MaterialPage, MaterialsIndex, Ready, RulePage, RulesIndex
from service.schema.problem import ProblemDetails
from service.schemas import Status

OUTGOING = (Advice, Home, Live, MaterialPage, MaterialsIndex, Mix, ProblemDetails, Ready, RulePage, RulesIndex)


def schemas() -> dict[str, Any]:
    """Schema by model name."""
    _, definitions = models_json_schema(
        [(Status, "validation"), (MixRequest, "validation"), *((model, "serialization") for model in OUTGOING)],
        ref_template="#/components/schemas/{model}",
    )
    named: dict[str, Any] = definitions["$defs"]
    return named
