"""The way in: a body becomes a `Status` or another question, or a `Problem` that says what to change."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any, Final, TypeVar, get_args

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from service.problems.fire import fire_warning
from service.problems.json_text import check_data, parse_json
from service.problems.problem import MOST_ERRORS, FieldError, Problem, cut, pointer
from service.status.models import Status
from service.status.names import did_you_mean

_WANTED: Final = {
    "bool_type": "true or false is wanted",
    "bool_parsing": "true or false is wanted",
    "string_type": "a text is wanted",
    "string_too_long": "the text is too long",
    "model_type": "an object is wanted",
    "model_attributes_type": "an object is wanted",
    "dict_type": "an object is wanted",
}
_Model = TypeVar("_Model", bound=BaseModel)


def read_status(body: bytes | Mapping[str, Any]) -> Status:
    """Read one status from JSON bytes or from data already parsed; raises as `read_model` does."""
    return read_model(body, Status, "A status", "invalid-status")


def read_model(
    body: bytes | Mapping[str, Any], model: type[_Model], what: str, slug: str = "invalid-request"
) -> _Model:
    """Read one `model`, called `what` in words, from JSON bytes or from data already parsed.

    Raises
    ------
    Problem
        If it cannot be used; one of the data is of the kind `slug`. If the body speaks of fire, the detail first says
        to keep clear and call the fire service.
    """
    try:
        data = parse_json(body) if isinstance(body, bytes) else body
        check_data(data)
        if not isinstance(data, dict):
            raise Problem("invalid-status", f"{what} is a JSON object, not {_kind(data)}.")
        return model.model_validate(data)
    except ValidationError as error:
        raise _problem_from(error, model, slug).warned(fire_warning(body)) from None
    except Problem as problem:
        kept = problem if problem.slug != "invalid-status" else Problem(slug, problem.detail, problem.errors)
        raise kept.warned(fire_warning(body)) from None


def validated(data: Any, model: type[_Model], slug: str) -> _Model:
    """Read one `model` from data that is known to be harmless. Raises Problem of the kind `slug`."""
    try:
        return model.model_validate(data)
    except ValidationError as error:
        raise _problem_from(error, model, slug) from None


def _problem_from(error: ValidationError, model: type[BaseModel], slug: str) -> Problem:
    errors = [_field_error(found, model) for found in error.errors(include_url=False)[:MOST_ERRORS]]
    first = errors[0]
    detail = f"{first['pointer'] or 'The body'}: {first['detail']}"
    if error.error_count() > 1:
        detail += f" ({error.error_count()} places in all need a change.)"
    return Problem(slug, detail, errors)


def _field_error(found: ErrorDetails, model: type[BaseModel]) -> FieldError:
    """One error of pydantic's as pointer, detail and, where they help, read and allowed."""
    context, given, kind = found.get("ctx", {}), found["input"], found["type"]
    error = {"pointer": pointer(found["loc"])}
    if kind == "refused":
        error |= context
    elif kind == "extra_forbidden":
        error["detail"] = "there is no such field." + did_you_mean(
            str(found["loc"][-1]), _fields_beside(found["loc"], model)
        )
    elif kind == "literal_error":
        words = re.findall(r"'([^']*)'", context["expected"])
        near = did_you_mean(given, words) if isinstance(given, str) else ""
        error |= {"detail": "this is not one of the words known here." + near, "allowed": ", ".join(words)}
    elif kind == "missing" or given is None:
        error["detail"] = "this field is needed"
    else:
        error["detail"] = _WANTED.get(kind, "this cannot be read")
    if not error["detail"].endswith((".", "?")):
        error["detail"] += "."
    if "read" in error or (kind != "missing" and given is not None):
        error["read"] = cut(error.get("read", _as_read(given)))
    return error


def _as_read(value: Any) -> str:
    """The value as it was read: short, and never a whole list or object."""
    if isinstance(value, (dict, list)):
        return _kind(value)
    return cut(value if isinstance(value, str) else json.dumps(value, default=str))


def _kind(value: Any) -> str:
    if isinstance(value, dict):
        return f"an object with {len(value)} fields"
    if isinstance(value, list):
        return f"a list of {len(value)}"
    return {bool: "true or false", str: "a text", int: "a number", float: "a number"}.get(type(value), "null")


def _fields_beside(loc: tuple[int | str, ...], root: type[BaseModel]) -> list[str]:
    """Names of the fields that exist where an unknown one was given."""
    model: type[BaseModel] | None = root
    for part in loc[:-1]:
        if model is not None and isinstance(part, str):
            field = model.model_fields.get(part)
            model = _model_in(field.annotation) if field else None
    return list(model.model_fields) if model else []


def _model_in(annotation: Any) -> type[BaseModel] | None:
    """The model an annotation holds, inside a list or beside None."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return next((model for inner in get_args(annotation) if (model := _model_in(inner))), None)
