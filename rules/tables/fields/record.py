"""What is known of one field of a status: how it is read, kept, asked and said, in one record."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Final, Literal

from rules.tables.lifetimes import Lifetime

ValueKind = Literal["number", "word", "names", "flag", "day", "phone"]
"""A quantity, one of a few words, any of some names, yes or no, a day, a telephone number."""
IN_A_ROW: Final = "in a row"
"""The words stand in a row: each step from one to the next counts as a change of its own."""


@dataclass(frozen=True, slots=True)
class Bounds:
    """How a quantity is read: its dimension, and the least and most it may be in the inside unit of that.

    A bare number is bounded by `bare_high` instead, above which its unit must be written. With `fraction_is_slip` a
    bare number between 0 and 1 is asked about, for it was most likely meant as a share of one.
    """

    dimension: str
    low: float
    high: float
    bare_high: float | None = None
    fraction_is_slip: bool = False


@dataclass(frozen=True, slots=True)
class Asked:
    """How the form asks for a field: in which part, what it is called there, and how to write it (`hint`).

    `row` names the group it stands in within its part. `units` names the units beside a number
    (`service.page.measures`). `choices` are what can be tapped, as the form calls it; those of `called` are called by
    the text whose id it makes of the word. `spread` shows them all at once, `pictured` are drawings.
    """

    part: str
    label: str
    row: str = ""
    hint: str = ""
    units: str = ""
    choices: Mapping[str, str] = field(default_factory=dict)
    called: str = ""
    spread: bool = False
    pictured: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class FieldQuestion:
    """How a person is asked for a field when it would help to know it, and why it would.

    `place` is its own among all questions, most useful first. `answers` are what people answer: the
    share of each among all, and the value, in SI and contract words (our own, common practice, no source). `also` is
    what every answer says beside that, by pointer.
    """

    place: int
    text: str
    why: str
    answers: tuple[tuple[float, object], ...]
    also: Mapping[str, object] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldRecord:
    """A field, by its JSON pointer: what the interface says of it, with examples, and all that is derived from that.

    `lasts` is how long it stays true; where it is None what its part says counts. `column` is its name in tables and
    messages of machines, and `said` how the chat says back what it heard, both empty where there is none. `varied`
    numbers are tried otherwise where it is asked what would change an answer; `step` is how much another word counts
    there, 0 where it is not tried (our own). `question` asks for it where it would help most to know it.
    """

    at: str
    kind: ValueKind
    means: str
    examples: tuple[object, ...]
    number: Bounds | None = None
    words: tuple[str, ...] = ()
    lasts: Lifetime | None = None
    column: str = ""
    form: Asked | None = None
    question: FieldQuestion | None = None
    said: str = ""
    varied: bool = True
    step: float | Literal["in a row"] = 0.0

    def __post_init__(self) -> None:
        if (self.kind == "number") != (self.number is not None):
            raise ValueError(f"{self.at}: a number says how it is read, and nothing else does")

    @property
    def name(self) -> str:
        """Its pointer with dots for slashes, as the form and the catalogue call it."""
        return self.at[1:].replace("/", ".")

    def texts(self) -> Iterator[tuple[str, str]]:
        """What is said of it, by id."""
        if self.said:
            yield f"told.{self.name}", self.said
        if self.form is None:
            return
        yield f"form.{self.name}", self.form.label
        if self.form.hint:
            yield f"form.{self.name}.hint", self.form.hint
        yield from ((f"form.{self.name}.{value}", called) for value, called in self.form.choices.items())
