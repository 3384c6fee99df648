"""The description of what goes in is true: what it forbids is refused, null above all."""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from pydantic import BaseModel, ValidationError

from service.api.shapes import INCOMING, schemas
from tests.each import now_and_then

SCHEMAS = schemas()
WRONG: tuple[Any, ...] = (None, True, 1.5, "x", [None], {"x": 1})
DEEPEST = 6
CHECKED_LATER = {"amount"}
"""By the units of the pile, which the model of the body does not know."""


def resolved(schema: dict[str, Any]) -> dict[str, Any]:
    while "$ref" in schema:
        others = {key: value for key, value in schema.items() if key != "$ref"}
        schema = {**SCHEMAS[schema["$ref"].rpartition("/")[2]], **others}
    return schema


def example(schema: dict[str, Any], depth: int = 0) -> Any:
    """A value with every field that is described, each with its first example."""
    schema = resolved(schema)
    kinds = [resolved(each) for each in schema.get("anyOf", [schema])]
    whole = next((each for each in kinds if each.get("properties")), None)
    if whole is not None and depth < DEEPEST:
        return {name: example(field, depth + 1) for name, field in whole["properties"].items()}
    items = next((each["items"] for each in kinds if "items" in each), None)
    if items is not None and resolved(items).get("properties") and depth < DEEPEST:
        return [example(items, depth + 1)]
    given = schema.get("examples") or [_of_kind(each) for each in kinds]
    return next((each for each in given if isinstance(each, dict)), given[0])


def _of_kind(schema: dict[str, Any]) -> Any:
    kinds = {"string": "x", "number": 1, "integer": 1, "boolean": True, "object": {}, "array": []}
    return schema["enum"][0] if "enum" in schema else kinds.get(schema.get("type", ""))


def places(value: Any, place: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    yield place
    for key, inner in value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ():
        yield from places(inner, (*place, key))


def put(value: Any, place: tuple[Any, ...], new: Any) -> Any:
    whole = at = copy.deepcopy(value)
    for key in place[:-1]:
        at = at[key]
    at[place[-1]] = new
    return whole


def is_taken(model: type[BaseModel], body: Any, place: tuple[Any, ...]) -> bool:
    """Whether nothing is said against what stands at a place, or against all of it."""
    try:
        model.model_validate(body)
    except ValidationError as error:
        said = [each["loc"] for each in error.errors(include_url=False)]
        return not any(_leads_through(loc, place) or len(loc) < len(place) for loc in said)
    return True


def _leads_through(loc: tuple[Any, ...], place: tuple[Any, ...]) -> bool:
    """Whether an error was found at a place or below it; kinds of a union stand between the names."""
    names = iter(loc)
    return all(name in names for name in place)


@pytest.mark.parametrize("model", now_and_then([each for each in INCOMING if issubclass(each, BaseModel)], 5))
def test_what_the_description_forbids_is_refused(model: type[BaseModel]) -> None:
    schema = {"$ref": f"#/components/schemas/{model.__name__}"}
    described = Draft202012Validator({**schema, "components": {"schemas": SCHEMAS}})
    whole = example(schema)
    assert described.is_valid(whole), "there is nothing wrong with it but what is put in"
    found = []
    for place in (each for each in places(whole) if each and each[-1] not in CHECKED_LATER):
        for wrong in WRONG:
            body = put(whole, place, wrong)
            if is_taken(model, body, place) and not described.is_valid(body):
                found.append(f"{json.dumps(wrong)} at {place}")
    assert found == []
