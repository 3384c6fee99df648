"""What somebody typed, exactly as it was typed: read from a posted form, and kept to be shown again."""

from __future__ import annotations

import re
from typing import Final
from urllib.parse import parse_qsl

from service.page.form import FIELDS, UNIT_BOXES
from service.page.measures import UNIT, with_unit
from service.problems.problem import Problem
from service.units.quantities import System

LARGEST_FORM: Final = 64 * 1024
MOST_VALUES: Final = 600
LONGEST_VALUE: Final = 1000
"""Characters in one field: a list of everything on hand is a few hundred (our own)."""
FORM_TYPE: Final = "application/x-www-form-urlencoded"

AS_OF: Final = "as_of"
READ_AT: Final = "read_at"
EARLIER: Final = "earlier"
UNSEEN: Final = (AS_OF, READ_AT, EARLIER)
"""Names the page's own script may send: now, when the core was read, and readings it kept (`instant core`)."""
TOLD: Final = "told"
"""What was told before, packed: sent along with the answer to one question."""
AT: Final = "at"
"""The moment of an answer where the page told none; it stands in addresses alone, so a form sent later is of later."""
EDIT: Final = "edit"
"""Sent by the button that goes back to the form."""

_OF_THE_PAGE: Final = frozenset({*UNSEEN, TOLD, AT, EDIT})

Typed = dict[str, tuple[str, ...]]
"""Values by field name, blanks and the units of blanks left out, all else as typed."""


def read_typed(body: bytes) -> Typed:
    """The values in a posted form; names that the form does not have are dropped.

    Raises
    ------
    Problem
        If it has far more values than the form can send, or a value far longer than anybody types.
    """
    try:
        pairs = parse_qsl(body.decode("utf-8", "replace"), max_num_fields=MOST_VALUES)
    except ValueError:
        raise Problem("invalid-request", f"The form has more than {MOST_VALUES} values.") from None
    typed: dict[str, list[str]] = {}
    for name, value in pairs:
        if len(value) > LONGEST_VALUE and name != TOLD:
            raise Problem("invalid-request", f"A field of the form is longer than {LONGEST_VALUE} characters.")
        if value.strip() and (name in FIELDS or name in UNIT_BOXES or name in _OF_THE_PAGE):
            typed.setdefault(name, []).append(value)
    return {
        name: tuple(values)
        for name, values in typed.items()
        if name not in UNIT_BOXES or name.removesuffix(UNIT) in typed
    }


_OWN_SCALE: Final = re.compile(r"[\d\s°]\s*(?:degrees?\s*|deg\s*)?([cf])(?:elsius|ahrenheit)?\s*$", re.IGNORECASE)
"""The scale that a typed temperature names itself, as in `48 C` or `118 degF`."""


def first(typed: Typed, name: str) -> str:
    """The first value of a field, stripped; empty where nothing was typed."""
    return typed.get(name, ("",))[0].strip()


def system_of(typed: Typed) -> System:
    """The units of the answer, and of temperatures that say none: those of the core as typed, else as chosen."""
    own = _OWN_SCALE.search(first(typed, "temperatures.core"))
    if own:
        return "us" if own[1].lower() == "f" else "metric"
    return "us" if first(typed, "units") == "us" else "metric"


def with_chosen_unit(typed: Typed, name: str) -> str:
    """The first value of a field; a number with the unit that was chosen beside it."""
    value, measure = first(typed, name), FIELDS[name].measure
    return with_unit(value, first(typed, name + UNIT), measure, system_of(typed)) if value and measure else value
