"""An answer as it lies in a log book: what the log book itself reads of it, whatever version gave it."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from service.logbook.shapes.known_value import State
from service.problems.json_text import JsonObject, check_data, parse_text
from service.status.moments import INSTANT
from service.status.quantities import refused

LONGEST_ANSWER = 256 * 1024
"""Characters; the longest answer we have seen has a tenth (ours)."""
_LONGEST_TEXT = 4000
"""Characters of one sentence in it; the longest of ours is a tenth (ours)."""
_MOST_VALUES = 20_000
"""Values in one answer; the largest of ours has a tenth (ours)."""
_AT = Annotated[datetime, INSTANT]
_Word = Annotated[str, Field(max_length=60, strict=True)]


class _Kept(BaseModel):
    """A part of it: what is not named here may be anything, for answers gain fields from version to version."""

    model_config = ConfigDict(extra="allow", frozen=True)


class KeptReason(_Kept):
    """One reason of an action."""

    rule: Annotated[str, Field(max_length=80, strict=True)]


class KeptEffect(_Kept):
    """What an action was expected to gain."""

    chance_of_gain: Annotated[float, Field(ge=0, le=1, strict=True)] | None = None


class KeptAction(_Kept):
    """One action of the answer."""

    action: _Word
    rank: Annotated[int, Field(ge=1, le=1000, strict=True)]
    effect: KeptEffect | None = None
    reasons: list[KeptReason]


class KeptAnswer(_Kept):
    """The answer."""

    id: Annotated[str, Field(pattern=r"^[0-9a-f]{16}$", strict=True)]
    headline: Annotated[str, Field(max_length=_LONGEST_TEXT, strict=True)]
    as_of: _AT
    valid_until: _AT
    units: Literal["metric", "us"]
    knowledge_version: Annotated[str, Field(max_length=12, strict=True)]
    actions: list[KeptAction]

    @model_validator(mode="after")
    def _each_action_once(self) -> KeptAnswer:
        if len({action.action for action in self.actions}) < len(self.actions):
            raise refused("an action is there twice")
        return self


class KeptValue(_Kept):
    """A value the answer rests on."""

    field: _Word
    at: _AT
    age_s: Annotated[int, Field(ge=0, strict=True)]
    state: State
    why: Annotated[str, Field(max_length=_LONGEST_TEXT, strict=True)]


def read_answer(text: str) -> JsonObject:
    """The data of an answer that was kept as text.

    Raises
    ------
    Problem
        If it is not JSON, or holds what no answer may hold: nested too deep, numbers too large, half characters.
    ValidationError
        If what the log book reads of it is not there, or of the wrong kind.
    """
    data = parse_text(text)
    check_data(data, _MOST_VALUES, _LONGEST_TEXT)
    KeptAnswer.model_validate(data)
    answer: JsonObject = data
    return answer
