"""What the form asks, from what one reads, squeezes, smells and sees at the heap to what is folded until wanted.

Fields are those of the records that say how the form asks for them (`rules.tables.fields`), in their order; only lists
and the measures of a heap are written here.
"""

from __future__ import annotations

from itertools import groupby
from typing import Final

from rules.tables.fields import FIELDS as RECORDS
from rules.tables.fields import Asked, FieldRecord
from service.page.fields import Field, FieldKind, FieldRow, Section, number_field
from service.page.measures import MEASURES, UNIT

HISTORY_ROWS: Final = 2
WORK_ROWS: Final = 2
POINT_ROWS: Final = 3
INGREDIENT_ROWS: Final = 4
ASKED_WORK: Final = (
    "add_water",
    "add_nitrogen",
    "add_dry_bulking",
    "add_carbon",
    "loosen_pile",
    "top_up",
    "enlarge_pile",
    "cover_with_clear_film",
    "lift_cover",
    "insulate",
    "keep_rain_off",
    "remove_snow",
    "reduce_draw",
    "pause_draw",
    "raise_draw",
    "stop_adding_water",
)
"""Work whose settling time or effect the advice waits for."""


def _history(row: int) -> FieldRow:
    name = f"history.{row}"
    return FieldRow(
        name,
        (
            number_field(f"{name}.core", "heat"),
            number_field(f"{name}.ago", "ago"),
        ),
    )


def _point(row: int) -> FieldRow:
    name = f"temperatures.points.{row}"
    return FieldRow(
        name,
        (
            number_field(f"{name}.value", "heat"),
            number_field(f"{name}.depth", "short side"),
            Field(f"{name}.side"),
        ),
    )


def _work(row: int) -> FieldRow:
    name = f"done.{row}"
    return FieldRow(
        name,
        (
            Field(f"{name}.action", "pick", values=ASKED_WORK, called="action.{value}.title"),
            number_field(f"{name}.ago", "ago"),
            number_field(f"{name}.amount", "work"),
        ),
    )


def _ingredient(row: int) -> FieldRow:
    name = f"pile.ingredients.{row}"
    return FieldRow(
        name,
        (
            Field(f"{name}.material", listed=True),
            number_field(f"{name}.amount", "part"),
        ),
    )


def _field(record: FieldRecord, asked: Asked) -> Field:
    """The field of a record."""
    words = (*record.words, *(value for value in asked.choices if value not in record.words))
    return Field(
        record.name,
        _KINDS.get(record.kind) or ("one" if asked.spread else "pick"),
        values=() if record.kind in ("number", "day", "phone") else words if asked.called else tuple(asked.choices),
        called=asked.called,
        drawn=frozenset(asked.pictured),
        measure=asked.units,
    )


def _asked(part: str) -> tuple[Field | FieldRow, ...]:
    """What the records ask in a part of the form; those of a row stand together."""
    found = [
        (record.form.row, _field(record, record.form))
        for record in RECORDS.values()
        if record.form is not None and record.form.part == part
    ]
    items: list[Field | FieldRow] = []
    for row, group in groupby(found, key=lambda item: item[0]):
        fields = tuple(field for _, field in group)
        if row:
            items.append(FieldRow(row, fields))
        else:
            items.extend(fields)
    return tuple(items)


_KINDS: Final[dict[str, FieldKind]] = {"number": "number", "names": "many", "day": "date", "phone": "phone"}
_SIZE: Final[tuple[Field | FieldRow, ...]] = (
    Field("pile.size.shape", "pick", values=("cone", "windrow", "cylinder", "box")),
    number_field("pile.size.width", "side"),
    number_field("pile.size.length", "side"),
    number_field("pile.size.height", "side"),
    number_field("pile.size.volume", "heap"),
    *map(_ingredient, range(INGREDIENT_ROWS)),
)
_EARLIER: Final = (*map(_point, range(POINT_ROWS)), *map(_history, range(HISTORY_ROWS)), *map(_work, range(WORK_ROWS)))

SECTIONS: Final = (
    Section("middle", _asked("middle"), depth="core", folded=False),
    Section("handful", _asked("handful"), depth="arm"),
    Section("nose", _asked("nose"), depth="arm"),
    Section("eyes", _asked("eyes"), depth="skin"),
    Section("earlier", _EARLIER),
    Section("heap", (*_SIZE, *_asked("heap")), lasting=True),
    Section("weather", _asked("weather")),
    Section("draw", _asked("draw"), lasting=True),
    Section("house", _asked("house"), lasting=True),
    Section("at_hand", (*_asked("at_hand"), Field("on_hand.more")), lasting=True),
    Section("goal", _asked("goal"), lasting=True),
    Section("emergency", _asked("emergency"), lasting=True),
)
"""The whole form, in the order of a walk up to the heap."""
FIELDS: Final[dict[str, Field]] = {field.name: field for section in SECTIONS for field in section.fields}
"""Every field by name."""
FIRST_NUMBER: Final = "temperatures.core"
"""Has `units` beside it: °C asks for an answer in metric units, °F for one in US units."""
UNIT_BOXES: Final = frozenset(
    name + UNIT for name, asked in FIELDS.items() if asked.measure and not MEASURES[asked.measure].is_fixed
) - {FIRST_NUMBER + UNIT}
"""Names of the boxes with units beside the other numbers."""


def labels() -> dict[str, str]:
    """What each field is called outside its place in the form."""
    return {field.name: label for section in SECTIONS for field, label in section.labelled}
