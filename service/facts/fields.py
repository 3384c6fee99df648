"""What a status says in the fields that facts come from."""

from __future__ import annotations

from typing import Any

from rules.language import facts
from rules.language.conditions import Value
from service.status.models import Status


def value_at(status: Status, pointer: str) -> Any:
    """What the status holds at a pointer; None where it says nothing."""
    value: Any = status
    for name in pointer.strip("/").split("/"):
        value = getattr(value, name, None)
    return value


def is_given(status: Status, pointer: str) -> bool:
    """Whether the status says something there; an empty list does."""
    return value_at(status, pointer) is not None


def repeated_facts(status: Status) -> dict[str, Value | None]:
    """The facts that are fields as they were told; None where nobody told."""
    return {fact.name: value_at(status, fact.field) for fact in facts.DECLARED.values() if fact.field}


def to_give(status: Status, fact: str) -> tuple[str, ...]:
    """The fields that would make a missing fact known: those not given, or all where what was given says too little."""
    tells = facts.DECLARED[fact].tells
    missing = tuple(pointer for pointer in tells if not is_given(status, pointer))
    if fact == "age_days" or not missing:
        return tells[:1]
    return missing
