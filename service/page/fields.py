"""The kinds of fields the form has, and every field by name.

A field's name is the JSON pointer of what it fills, with dots for slashes (`temperatures.core`), so that a refusal
that names a pointer can be shown beside its field. Only a few fields stand for something else: see `filling`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal

from rules.catalogue import ENGLISH, said

FieldKind = Literal["text", "number", "phone", "date", "one", "many", "pick"]
"""A name, a number with its unit, a telephone number, a day, one of a few shown at once, any of a few, one of many."""
Depth = Literal["core", "arm", "skin", ""]
"""Where on the heap to look, for the small drawing beside a heading."""

NONE_OF_THESE: Final = "none"
"""Ticked where one looked and saw none, or has none."""
NOT_SAID: Final = ""
ROW_NUMBER: Final = re.compile(r"\.\d+\.")


@dataclass(frozen=True, slots=True)
class TappedChoice:
    """One answer that can be tapped; `picture` names a drawing."""

    value: str
    label: str
    picture: str = ""


@dataclass(frozen=True, slots=True)
class Field:
    """One thing to fill in. `values` are what can be tapped or chosen; `listed` offers the names of materials.

    `measure` names the units beside a number (`measures.MEASURES`). Values are called as the form calls them, else by
    the text whose id `called` makes of them. `drawn` are those that are drawings.
    """

    name: str
    kind: FieldKind = "text"
    values: tuple[str, ...] = ()
    called: str = ""
    drawn: frozenset[str] = frozenset()
    listed: bool = False
    measure: str = ""

    @property
    def text_id(self) -> str:
        """Where its words stand in the catalogue: the same in each row."""
        return f"form.{re.sub(ROW_NUMBER, '.', self.name)}"

    @property
    def label(self) -> str:
        """What it is called."""
        return said(self.text_id)

    @property
    def hint(self) -> str:
        """How to write it; empty where nothing need be said."""
        return said(f"{self.text_id}.hint") if f"{self.text_id}.hint" in ENGLISH else ""

    @property
    def choices(self) -> tuple[TappedChoice, ...]:
        """What can be tapped or chosen."""
        return tuple(
            TappedChoice(value, self._called(value), value if value in self.drawn else "") for value in self.values
        )

    @property
    def pictured(self) -> bool:
        """Whether the choices are drawings."""
        return bool(self.drawn)

    def _called(self, value: str) -> str:
        own = f"{self.text_id}.{value}"
        return said(own if own in ENGLISH else self.called.format(value=value))


def number_field(name: str, measure: str) -> Field:
    """A field for a number with the units of `measure` beside it."""
    return Field(name, "number", measure=measure)


@dataclass(frozen=True, slots=True)
class FieldRow:
    """Fields that belong together, such as an earlier reading and how long ago it was."""

    name: str
    fields: tuple[Field, ...]

    @property
    def legend(self) -> str:
        """What the row is called: rows of one kind are counted from 1."""
        kind, _, place = self.name.rpartition(".")
        return (
            said(f"form.row.{kind}", number=str(int(place) + 1)) if place.isdigit() else said(f"form.row.{self.name}")
        )

    def label(self, field: Field) -> str:
        """A field's label where it does not stand in its row."""
        return f"{self.legend}, {field.label[0].lower()}{field.label[1:]}"


@dataclass(frozen=True, slots=True)
class Section:
    """A part of the form.

    `folded` parts open on a tap, one at a time. `lasting` parts are the same at the next visit, so a draft keeps them.
    """

    id: str
    items: tuple[Field | FieldRow, ...]
    depth: Depth = ""
    folded: bool = True
    lasting: bool = False

    @property
    def title(self) -> str:
        """What it is called."""
        return said(f"form.part.{self.id}")

    @property
    def lead(self) -> str:
        """What is said at its head; empty where nothing need be."""
        return said(f"form.part.{self.id}.lead") if f"form.part.{self.id}.lead" in ENGLISH else ""

    @property
    def labelled(self) -> Iterator[tuple[Field, str]]:
        """Every field, those in rows too, with a label that tells it from all others."""
        for item in self.items:
            if isinstance(item, FieldRow):
                yield from ((field, item.label(field)) for field in item.fields)
            else:
                yield item, item.label

    @property
    def fields(self) -> Iterator[Field]:
        """Every field, those in rows too."""
        return (field for field, _ in self.labelled)
