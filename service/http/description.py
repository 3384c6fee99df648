"""Pieces of the interface's description that the routes share. Schemas are named here and filled in on demand."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, Final

from service.problems.problem import KINDS, MEDIA_TYPE, Problem

Described = dict[str, Any]
"""A piece of the description of the interface: its keys are those of OpenAPI 3.1."""
Responses = dict[int | str, Described]
"""Descriptions of answers by their status."""
BODY_PROBLEMS: Final = (
    "malformed-json",
    "body-incomplete",
    "body-too-slow",
    "body-too-large",
    "unsupported-media-type",
    "invalid-request",
)
"""What may be wrong with a body of JSON."""
EXAMPLES_FOLDER: Final = Path(__file__).resolve().parents[2] / "openapi_examples"


def shape(model: str) -> dict[str, str]:
    """Reference to a model's schema."""
    return {"$ref": f"#/components/schemas/{model}"}


def answer(model: str, description: str, example: Any = None) -> Responses:
    """The description of a good answer."""
    content: Described = {"schema": shape(model)}
    if example is not None:
        content["example"] = example
    return {200: {"description": description, "content": {"application/json": content}}}


def created(model: str, description: str) -> Responses:
    """The description of a good answer to what makes something new."""
    return {201: answer(model, description)[200]}


def body_of(model: str, description: str, others: dict[str, str] | None = None) -> Described:
    """The description of a body: `model` as JSON, or one of `others` by media type."""
    kinds = {"application/json": model, **(others or {})}
    content = {kind: {"schema": shape(named)} for kind, named in kinds.items()}
    return {"requestBody": {"required": True, "description": description, "content": content}}


def repeatable(extra: Described) -> Described:
    """The description of a request that may carry an Idempotency-Key."""
    key = {
        "name": "Idempotency-Key",
        "in": "header",
        "required": False,
        "description": "A text of your own, in quotes, that makes a repeated request be answered once. Its answer is "
        "kept for 7 days. With another request it is refused (422); while its twin is served, 409.",
        "schema": {"type": "string", "minLength": 1, "maxLength": 257},
        "example": '"8e03978e-40d5-43e8-bc93-6894a57f9324"',
    }
    return {**extra, "parameters": [key]}


def problems(*slugs: str) -> Responses:
    """The descriptions of the problems a route can answer with, and of any other."""
    described: Responses = {}
    for slug in slugs:
        kind = KINDS[slug]
        entry = described.setdefault(kind.status, _problem(kind.meaning, {}))
        entry["content"][MEDIA_TYPE]["examples"][slug] = {"value": Problem(slug, kind.meaning).as_dict()}
    unexpected = {"internal-error": {"value": Problem("internal-error", KINDS["internal-error"].meaning).as_dict()}}
    return {**described, "default": _problem("Any other problem, in the same shape.", unexpected)}


def _problem(description: str, examples: Described) -> Described:
    content = {MEDIA_TYPE: {"schema": shape("ProblemDetails"), "examples": examples}}
    return {"description": description, "content": content}


def examples(kind: str) -> Described:
    """The examples that lie beside the source, by name; `kind` is request or response."""
    ending = f".{kind}.json"
    return {
        file.name.removesuffix(ending): {"value": json.loads(file.read_text(encoding="utf-8"))}
        for file in sorted(EXAMPLES_FOLDER.glob(f"*{ending}"))
    }
