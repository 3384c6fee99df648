"""JSON schemas of the tools' arguments and results, kept small: a client pays for every byte of the list."""

from __future__ import annotations

from typing import Any, Final

from pydantic import TypeAdapter

from rules.language.status_words import Cover, MoistureFeel
from service.status.names import Sign, Smell

Schema = dict[str, Any]


def record(properties: Schema, *required: str, closed: bool = True) -> Schema:
    """An object; all of its properties are needed where none is named."""
    names = list(required) if required else list(properties)
    schema: Schema = {"type": "object", "properties": properties, "required": names}
    return {**schema, "additionalProperties": False} if closed else schema


def listed(items: Schema) -> Schema:
    """A list."""
    return {"type": "array", "items": items}


def maybe(schema: Schema) -> Schema:
    """The same, or null."""
    return {"anyOf": [schema, {"type": "null"}]}


TEXT: Final[Schema] = {"type": "string"}
NUMBER: Final[Schema] = {"type": "number"}
ANY: Final[Schema] = {"type": "object"}
QUANTITY: Final[Schema] = {"type": ["string", "number"]}
_WORDS: Final[dict[str, Any]] = {"moisture_feel": MoistureFeel, "smell": Smell, "cover": Cover, "signs": Sign}


def _words(name: str) -> Schema:
    return {"enum": TypeAdapter(_WORDS[name]).json_schema()["enum"]}


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
                "ingredients": listed({"type": "object", "description": 'e.g. {"material": "wood_chips"}'}),
                "cover": _words("cover"),
            },
        },
        "temperatures": {
            "type": "object",
            "properties": {"core": QUANTITY, "outer": QUANTITY, "outdoor": QUANTITY},
        },
        "history": listed({"type": "object", "description": 'e.g. {"at": "2026-01-15T08:00:00Z", "core": "133 degF"}'}),
        "moisture_feel": _words("moisture_feel"),
        "smell": _words("smell"),
        "signs": listed(_words("signs")),
        "on_hand": listed(TEXT),
    },
}
PLAIN_STATUS: Final[Schema] = {"type": "object", "description": "As for advise."}
RANGE: Final = record({"value": NUMBER, "low": NUMBER, "high": NUMBER, "unit": TEXT})
DOSE: Final = record(
    {"of": TEXT, "value": NUMBER, "low": NUMBER, "high": NUMBER, "unit": TEXT, "per": maybe(TEXT), "split": NUMBER}
)
REASON: Final = record({"rule": TEXT, "text": TEXT, "source": TEXT})
ACTION: Final = record(
    {
        "rank": NUMBER,
        "action": TEXT,
        "title": TEXT,
        "urgency": TEXT,
        "doses": listed(DOSE),
        "steps": listed(TEXT),
        "reasons": listed(REASON),
        "cautions": listed(TEXT),
    }
)
ASKED: Final = record({"question": TEXT, "field": TEXT, "why": TEXT})
ADVICE: Final = record(
    {
        "headline": TEXT,
        "say": TEXT,
        "phase": TEXT,
        "actions": listed(ANY),
        "avoid": listed(record({"action": TEXT, "reasons": listed(TEXT)})),
        "ask_next": listed(ASKED),
        "assumed": listed(TEXT),
        "look_again": record({"at": TEXT, "watch_for": TEXT}),
    }
)
QUESTION: Final = record(
    {
        "enough": {"type": "boolean"},
        "question": maybe(TEXT),
        "field": maybe(TEXT),
        "why": TEXT,
        "changes_first_action": maybe(NUMBER),
        "answers": listed(record({"answer": TEXT, "sets": maybe(ANY), "first_action": TEXT})),
        "first_action": maybe(TEXT),
        "understood": listed(TEXT),
        "unread": listed(TEXT),
        "status": ANY,
        "skipped": listed(TEXT),
    }
)
PART: Final = record({"material": TEXT, "amount": TEXT})
MIX: Final = record(
    {
        "headline": TEXT,
        "numbers": listed(record({"name": TEXT, "value": maybe(RANGE), "verdict": TEXT, "text": TEXT})),
        "possible": maybe({"type": "boolean"}),
        "add": listed(PART),
    }
)
PAGE: Final = record({"kind": TEXT, "id": maybe(TEXT), "ids": listed(TEXT), "page": maybe(ANY)})
