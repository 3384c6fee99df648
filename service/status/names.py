"""Field types for ids that have synonyms."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, core_schema

from rules.actions.records import ACTIONS
from rules.catalogue import said
from rules.language.vocabulary import SIGNS, SMELLS, SYMPTOMS, find_sign, find_smell, find_symptom
from rules.tables.likeness import Likened, Likeness, liken, suggestion
from rules.tables.materials import MATERIALS, SUPPLIES, find_material, find_on_hand, find_refusal
from service.problems.fire import speaks_of_fire
from service.status.quantities import refused

LONGEST_NAME = 100
"""Letters of the longest name of a thing that is taken."""


@dataclass(frozen=True, slots=True)
class NameOf:
    """Annotation of a text field that takes an id or one of its synonyms and gives the id.

    `ids` are listed in the schema where `listed`; elsewhere the schema says where to find them. With `likened` a name
    that is not known is taken for what that finds, never refused.
    """

    what: str
    find: Callable[[str], str | None]
    ids: tuple[str, ...]
    listed: bool = False
    likened: Callable[[str], Likeness] | None = None

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self._read)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        if self.listed:
            return {"type": "string", "enum": list(self.ids)}
        return {"type": "string", "minLength": 1, "maxLength": LONGEST_NAME, "x-ids": list(self.ids)}

    def _read(self, raw: object) -> str:
        if not isinstance(raw, str):
            raise refused(f"the name of {self.what} is wanted, as a text")
        found = self.find(raw)
        if found is not None:
            return found
        refusal = find_refusal(raw) if self.likened is not None else None
        if refusal is not None:
            raise refused(f"not accepted: {said(f'refused.{refusal.id}')}", read=raw)
        if self.likened is not None and _is_a_name(raw):
            return Likened.of(raw, self.likened(raw))
        known = f", not one of the words known here: {', '.join(self.ids)}" if self.listed else ""
        raise refused(f"this is not the name of {self.what}{known}.{did_you_mean(raw, self.ids)}", read=raw)


def _is_a_name(raw: str) -> bool:
    """Whether a text may name a thing: it has letters, is not overlong, and does not speak of fire, which must not be
    swallowed."""
    return len(raw) <= LONGEST_NAME and any(map(str.isalpha, raw)) and not speaks_of_fire(raw)


def did_you_mean(given: str, known: Iterable[str]) -> str:
    """The nearest known name as a question, or nothing where none is near."""
    plain = given[:60].strip().casefold().replace(" ", "_").replace("-", "_")
    near = difflib.get_close_matches(plain, list(known), n=1, cutoff=0.6)
    return f' Did you mean "{near[0]}"?' if near else ""


def material_meant(given: str) -> str:
    """The material that an unknown name may mean, by spelling or by its kind, as a question."""
    near = suggestion(given[:LONGEST_NAME])
    return f' Did you mean "{near}"?' if near else ""


def _exact_action(name: str) -> str | None:
    return name if name in ACTIONS else None


MATERIAL = NameOf("a material (GET /materials lists them)", find_material, tuple(MATERIALS), likened=liken)
ON_HAND = NameOf(
    "a material or supply", find_on_hand, (*SUPPLIES, *MATERIALS), likened=lambda name: liken(name, supplies=True)
)
ACTION = NameOf("an action", _exact_action, tuple(ACTIONS), listed=True)
Smell = Annotated[str, NameOf("a smell", find_smell, tuple(SMELLS), listed=True)]
Sign = Annotated[str, NameOf("a sign", find_sign, tuple(SIGNS), listed=True)]
Symptom = Annotated[str, NameOf("what somebody feels", find_symptom, tuple(SYMPTOMS), listed=True)]
