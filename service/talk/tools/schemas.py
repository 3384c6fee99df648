"""JSON schemas of the tools' arguments and results, kept small: a client pays for every byte of the list."""

from __future__ import annotations

from types import NoneType, UnionType
from typing import Any, Final, get_args, get_origin

from pydantic import TypeAdapter
from typing_extensions import get_type_hints, is_typeddict

from rules.language.status_words import Cover, MoistureFeel
from service.status.names import Sign, Smell

Schema = dict[str, Any]


def object_schema(properties: Schema, *required: str, closed: bool = True) -> Schema:
    """An object; all of its properties are needed where none is named."""
    names = list(required) if required else list(properties)
    schema: Schema = {"type": "object", "properties": properties, "required": names}
    return {**schema, "additionalProperties": False} if closed else schema


def list_schema(items: Schema) -> Schema:
    """A list."""
    return {"type": "array", "items": items}


def nullable_schema(schema: Schema) -> Schema:
    """The same, or null."""
    return {"anyOf": [schema, {"type": "null"}]}


TEXT: Final[Schema] = {"type": "string"}
QUANTITY: Final[Schema] = {"type": ["string", "number"]}
_PLAIN: Final[dict[object, Schema]] = {
    str: TEXT,
    int: {"type": "number"},
    float: {"type": "number"},
    bool: {"type": "boolean"},
}
_WORDS: Final[dict[str, TypeAdapter[Any]]] = {
    "moisture_feel": TypeAdapter(MoistureFeel),
    "smell": TypeAdapter(Smell),
    "cover": TypeAdapter(Cover),
    "signs": TypeAdapter(Sign),
}


def schema_of(shape: object) -> Schema:
    """The schema of a result: of a typed dict, of a list, of what may be null, or of a plain value."""
    if is_typeddict(shape):
        return object_schema({name: schema_of(hint) for name, hint in get_type_hints(shape).items()})
    origin, parts = get_origin(shape), get_args(shape)
    if origin is list:
        return list_schema(schema_of(parts[0]))
    if origin is UnionType:
        told = [part for part in parts if part is not NoneType]
        return nullable_schema(schema_of(told[0]) if len(told) == 1 else {"type": "object"})
    return {"type": "object"} if origin is dict else _PLAIN[shape]


def _words(name: str) -> Schema:
    return {"enum": _WORDS[name].json_schema()["enum"]}


STATUS: Final[Schema] = {
    "type": "object",
    "description": "What is known of the heap. Leave out what nobody looked at; never guess. Quantities carry their "
    'unit: "121 degF", "14 yd3", "10 weeks". More fields: draw, greenhouse, weather, goal, equipment; see '
    "/openapi.json.",
    "properties": {
        "units": {"enum": ["metric", "us"], "description": "units of the answer"},
        "pile": {
            "type": "object",
            "properties": {
                "age": QUANTITY,
                "size": {"type": "object", "description": 'e.g. {"volume": "14 yd3"}'},
                "ingredients": list_schema({"type": "object", "description": 'e.g. {"material": "wood_chips"}'}),
                "cover": _words("cover"),
            },
        },
        "temperatures": {
            "type": "object",
            "properties": {"core": QUANTITY, "outer": QUANTITY, "outdoor": QUANTITY},
        },
        "history": list_schema(
            {"type": "object", "description": 'e.g. {"at": "2026-01-15T08:00:00Z", "core": "133 degF"}'}
        ),
        "moisture_feel": _words("moisture_feel"),
        "smell": _words("smell"),
        "signs": list_schema(_words("signs")),
        "on_hand": list_schema(TEXT),
    },
}
PLAIN_STATUS: Final[Schema] = {"type": "object", "description": "As for advise."}
