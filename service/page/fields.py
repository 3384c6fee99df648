"""The kinds of fields the form has, and every field by name.

A field's name is the JSON pointer of what it fills, with dots for slashes (`temperatures.core`), so that a refusal
that names a pointer can be shown beside its field. Only a few fields stand for something else: see `filling`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal

Kind = Literal["text", "number", "phone", "date", "one", "many", "pick"]
"""A name, a number with its unit, a telephone number, a day, one of a few shown at once, any of a few, one of many."""
Depth = Literal["core", "arm", "skin", ""]
"""Where on the heap to look, for the small drawing beside a heading."""

NONE_OF_THESE: Final = "none"
"""Ticked where one looked and saw none, or has none."""
NOT_SAID: Final = ""


@dataclass(frozen=True, slots=True)
class Choice:
    """One answer that can be tapped; `picture` names a drawing."""

    value: str
    label: str
    picture: str = ""


@dataclass(frozen=True, slots=True)
class Field:
    """One thing to fill in. `hint` says how to write it; `listed` offers the names of materials.

    `measure` names the units beside a number (`measures.MEASURES`).
    """

    name: str
    label: str
    kind: Kind = "text"
    hint: str = ""
    choices: tuple[Choice, ...] = ()
    listed: bool = False
    measure: str = ""

    @property
    def pictured(self) -> bool:
        """Whether the choices are drawings."""
        return any(choice.picture for choice in self.choices)


def number(name: str, label: str, measure: str, hint: str = "") -> Field:
    """A field for a number with the units of `measure` beside it."""
    return Field(name, label, "number", hint, measure=measure)


@dataclass(frozen=True, slots=True)
class Row:
    """Fields that belong together, such as an earlier reading and how long ago it was."""

    legend: str
    fields: tuple[Field, ...]

    def label(self, field: Field) -> str:
        """A field's label where it does not stand in its row."""
        return f"{self.legend}, {field.label[0].lower()}{field.label[1:]}"


@dataclass(frozen=True, slots=True)
class Section:
    """A part of the form.

    `folded` parts open on a tap, one at a time. `lasting` parts are the same at the next visit, so a draft keeps them.
    """

    id: str
    title: str
    lead: str
    items: tuple[Field | Row, ...]
    depth: Depth = ""
    folded: bool = True
    lasting: bool = False

    @property
    def labelled(self) -> Iterator[tuple[Field, str]]:
        """Every field, those in rows too, with a label that tells it from all others."""
        for item in self.items:
            if isinstance(item, Row):
                yield from ((field, item.label(field)) for field in item.fields)
            else:
                yield item, item.label

    @property
    def fields(self) -> Iterator[Field]:
        """Every field, those in rows too."""
        return (field for field, _ in self.labelled)
