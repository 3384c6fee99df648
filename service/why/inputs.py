"""The inputs of a status that could have been read otherwise: numbers with their steps, and words with the others."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from rules import RULES
from rules.language import facts
from rules.language.conditions import Test, leaves
from rules.tables.fields import FIELDS as RECORDS
from rules.tables.fields import IN_A_ROW
from service.facts.fields import value_at
from service.render.wording import DIMENSION_OF
from service.status.field import measure_of
from service.status.models import Status
from service.status.quantities import Measure
from service.units.figures import figure
from service.units.quantities import Dimension, System, parse_quantity, to_units

NUMBERS: Final[dict[str, Measure]] = {
    at: measure_of(record.number) for at, record in RECORDS.items() if record.number is not None and record.varied
}
SCALES: Final[dict[Dimension, float]] = figure(
    {
        "temperature": 10.0,
        "percent": 15.0,
        "minutes_per_hour": 20.0,
        "duration": 30.0,
        "speed": 4.0,
        "length": 0.5,
    },
    "inside unit of each",
    "A change that counts as one step, as large as another word for a word",
    "no source",
)
RELATIVE_SCALE: Final = figure(
    0.5, "1", "Scale of a change in amounts and flows, as a share of what was given", "no source"
)
GRID: Final[dict[Dimension, float]] = {"percent": 1.0, "minutes_per_hour": 1.0, "duration": 1.0, "mass": 10.0}
FINE_GRID: Final = figure(0.1, "1", "Steps in the reader's unit: what a person would report", "no source")

ORDERED: Final = {at: record.words for at, record in RECORDS.items() if record.step == IN_A_ROW}
"""Words in a row: each step counts."""
UNORDERED: Final = {at: float(record.step) for at, record in RECORDS.items() if record.step not in (0.0, IN_A_ROW)}
"""Words without an order, with the size of a change."""
SIGN_SIZE: Final = figure(1.0, "1", "Size of the change that a sign seen, or not, is", "no source")
ANOTHER_HEAP: Final = frozenset({"burnt", "smoke"})
"""A heap on fire is no small change from one that is not, in either direction."""


@dataclass(frozen=True, slots=True)
class Number:
    """A number of the status on a grid of the reader's unit."""

    pointer: str
    measure: Measure
    value: float
    system: System

    @property
    def step(self) -> float:
        """The grid's step in the reader's unit."""
        return GRID.get(self.measure.dimension, FINE_GRID)

    @property
    def scale(self) -> float:
        """How much, in the reader's unit, counts as one step."""
        scale = SCALES.get(self.measure.dimension, RELATIVE_SCALE * self.value)
        ends = (to_units(end, self.measure.dimension, self.system)[0] for end in (self.value, self.value + scale))
        low, high = ends
        return max(high - low, self.step)

    @property
    def shown(self) -> float:
        """The value in the reader's unit."""
        return to_units(self.value, self.measure.dimension, self.system)[0]

    def text_at(self, place: int) -> str:
        """The grid's number at `place`, with its unit, as the service takes it."""
        return input_in_words(round(place * self.step, 6), self.measure.dimension, self.system)

    def read(self, place: int) -> float | None:
        """The inside value of the grid's number at `place`, None where the field would refuse it."""
        si = parse_quantity(self.text_at(place), (self.measure.dimension,), self.system).si
        return si if self.measure.low <= si <= self.measure.high else None

    def limits(self) -> Iterator[float]:
        """Limits, in the reader's unit, that some rule sets on a fact which is this number."""
        for name in _FACTS_THAT_ARE.get(self.pointer, ()):
            dimension, factor = DIMENSION_OF[facts.DECLARED[name].unit]
            for limit in sorted(_LIMITS.get(name, ())):
                yield to_units(limit * factor, dimension, self.system)[0]


def numbers_given(status: Status, system: System) -> list[Number]:
    """The numbers that were given."""
    found = []
    for pointer, measure in NUMBERS.items():
        value = value_at(status, pointer)
        if value is not None:
            found.append(Number(pointer, measure, float(value), system))
    return found


def words_in(status: Status) -> Iterator[tuple[float, str, Any, Any]]:
    """Size, pointer, value and another value of every word that was given."""
    for pointer, row in ORDERED.items():
        given = value_at(status, pointer)
        if given is not None:
            for place, word in enumerate(row):
                if word != given:
                    yield float(abs(place - row.index(given))), pointer, given, word
    for pointer, size in UNORDERED.items():
        given = value_at(status, pointer)
        if given is not None and given not in ANOTHER_HEAP:
            for word in RECORDS[pointer].words:
                if word != given and word not in ANOTHER_HEAP:
                    yield size, pointer, given, word
    if status.signs is not None and not ANOTHER_HEAP & set(status.signs):
        yield from _other_signs(list(status.signs))


def _other_signs(seen: list[Any]) -> Iterator[tuple[float, str, Any, Any]]:
    for sign in RECORDS["/signs"].words:
        if sign not in ANOTHER_HEAP:
            other = [kept for kept in seen if kept != sign] if sign in seen else [*seen, sign]
            yield SIGN_SIZE, "/signs", seen, other


def input_in_words(number: float, dimension: Dimension, system: System) -> str:
    """A number in the reader's unit as a text the service takes."""
    return f"{number:.10g} {to_units(0.0, dimension, system)[1]}"


_LIMITS: Final[dict[str, set[float]]] = {}
for _rule in RULES.values():
    for _leaf in leaves(_rule.when):
        if isinstance(_leaf, Test) and isinstance(_leaf.limit, float):
            _LIMITS.setdefault(_leaf.fact, set()).add(_leaf.limit)

_FACTS_THAT_ARE: Final = {
    pointer: tuple(
        name
        for name, fact in facts.DECLARED.items()
        if pointer in fact.tells and fact.kind == "number" and DIMENSION_OF[fact.unit][0] == measure.dimension
    )
    for pointer, measure in NUMBERS.items()
}
"""Facts that equal the number in the field, whatever else they may follow from."""
