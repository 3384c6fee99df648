"""From a refusal to words beside the fields it is about."""

from __future__ import annotations

import re
from typing import Final

from rules.catalogue import said
from service.page.body import Fault, Filled
from service.page.entries import EARLIER, Typed, first
from service.page.form import FIELDS
from service.problems.fire import WARNING, fire_warning
from service.problems.problem import FieldError, Problem

CORE, AGE = "temperatures.core", "pile.age"
_TOLD_BY_LACKING: Final = ("/pile",)
"""Refusals that say less well what `_lacking` says."""
_DEGREES: Final = re.compile(r"\bdeg([CF])\b")


def faults_of(problem: Problem | None, filled: Filled, typed: Typed) -> list[Fault]:
    """Every fault, the form's own first, one for each field."""
    faults = [*filled.faults, *_lacking(typed)]
    for error in problem.errors if problem else ():
        if error["pointer"] not in _TOLD_BY_LACKING:
            name = filled.field_at(error["pointer"])
            text = _in_words(error)
            if not name and error["pointer"].startswith("/history/"):
                text = said("page.fault.kept", fault=text)
            faults.append(Fault(name, text))
    if not faults and problem is not None:
        faults.append(Fault("", problem.detail.removeprefix(WARNING).strip()))
    seen: dict[str, Fault] = {}
    for fault in faults:
        seen.setdefault(fault.name or fault.text, fault)
    order = list(FIELDS)
    return sorted(seen.values(), key=lambda fault: order.index(fault.name) if fault.name else len(order))


def warning_for(filled: Filled, typed: Typed) -> str | None:
    """What must be said whatever is wrong, where anything typed speaks of fire."""
    return fire_warning(filled.body) or fire_warning({name: list(values) for name, values in typed.items()})


def _lacking(typed: Typed) -> list[Fault]:
    """The two things no advice can do without."""
    lacking = []
    if not any(first(typed, name) for name in (CORE, "history.0.core", "history.1.core", EARLIER)):
        lacking.append(Fault(CORE, said("page.fault.core")))
    if not first(typed, AGE) and not first(typed, "pile.built_on"):
        lacking.append(Fault(AGE, said("page.fault.age")))
    return lacking


def _in_words(error: FieldError) -> str:
    """One error with the value as read and what is allowed, where the sentence does not say so already."""
    text = error["detail"]
    text = text[0].upper() + text[1:]
    read, allowed = error.get("read"), error.get("allowed")
    if read and read not in text:
        text += f" {said('page.fault.read-as', read=read)}"
    if allowed and allowed not in text:
        text += f" {said('page.fault.allowed', allowed=allowed.replace('_', ' '))}"
    return _DEGREES.sub(r"°\1", text)
