"""Every field of a status that holds one thing, by its JSON pointer, in the order of a walk up to the heap.

Model, form, chat, columns of machines, lifetimes and the search for what would change an answer are derived from these
records; `tests/test_fields.py` names each place that could not be. Fields of lists (earlier readings, ingredients, the
forecast) and the measures of a heap stand in `service.status` alone.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import Final

from rules.tables.fields.draw import DRAW
from rules.tables.fields.goal import GOAL
from rules.tables.fields.heap import HEAP
from rules.tables.fields.record import IN_A_ROW, Asked, Bounds, FieldRecord
from rules.tables.fields.weather import WEATHER

FIELDS: Final = MappingProxyType({record.at: record for record in (*HEAP, *WEATHER, *DRAW, *GOAL)})

__all__ = ["FIELDS", "IN_A_ROW", "Asked", "Bounds", "FieldRecord"]
