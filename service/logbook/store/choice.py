"""Of a dense log, the readings that can count: one a minute for weeks says no more than a few hundred of them do.

A status needs of each field the newest value, and of the core what a history keeps (`thinned`, beside `merge`). Which
fields a reading has is told by its text without the digits, so most need not be read at all.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime, timedelta
from typing import Any, Final

from service.logbook.entries import ReadingEntry
from service.logbook.merge import HISTORY_DAYS, MOST_HISTORY
from service.logbook.store.models import microseconds

DENSE: Final = 1000
"""Of fewer readings all are read, so that every damaged one among them is named."""
OF_SPAN: Final = 2
"""Core readings kept of each span of the history: the newest of all is told as the core, and is in no history."""
_ENOUGH: Final = MOST_HISTORY + 1
"""Moments with a core up to which a history keeps each; it must see that there are more, or it would not thin them."""
_SPAN_US: Final = timedelta(days=HISTORY_DAYS / MOST_HISTORY) // timedelta(microseconds=1)
_NO_DIGITS: Final = dict.fromkeys(map(ord, "0123456789"))
RowReader = Callable[[Any], ReadingEntry | None]
"""Reads a row; None where it is damaged."""


def entries_that_count(rows: Sequence[Any], as_of: datetime, read: RowReader) -> list[ReadingEntry]:
    """The entries that can count as of a moment, oldest first; `rows` are so too, their moments in microseconds.

    What `merge` makes of them is what it makes of all, unless a reading that would not have counted is damaged: then
    nobody is told here (`damage.is_sound` tells).
    """
    if len(rows) <= DENSE:
        return [entry for row in rows if (entry := read(row)) is not None]
    kept, passed_over = _looked_through(rows, microseconds(as_of), read)
    cores = {rows[place].at for place, entry in kept.items() if _has_core(entry)}
    for place in passed_over:
        if len(cores) > _ENOUGH:
            break
        entry = read(rows[place])
        if entry is not None:
            kept[place] = entry
            cores.add(rows[place].at)
    return [kept[place] for place in sorted(kept)]


def _looked_through(rows: Sequence[Any], as_of: int, read: RowReader) -> tuple[dict[int, ReadingEntry], list[int]]:
    """What is kept, by its place, and places of cores within the history of which their span has enough, newest first.

    There may be twenty thousand, so nothing is called for most of them.
    """
    kept: dict[int, ReadingEntry] = {}
    has_core: dict[str, bool] = {}
    spans: dict[int, set[int]] = {}
    passed_over: list[int] = []
    for place in range(len(rows) - 1, -1, -1):
        at, part = rows[place].at, rows[place].part
        shape = part.translate(_NO_DIGITS) if isinstance(part, str) else ""
        known = has_core.get(shape)
        if known is False:
            continue
        number = min((as_of - at) // _SPAN_US, MOST_HISTORY)
        span = spans.setdefault(number, set())
        if known and len(span) >= OF_SPAN and at not in span:
            if number < MOST_HISTORY:
                passed_over.append(place)
        elif (entry := read(rows[place])) is not None:
            kept[place] = entry
            has_core[shape] = _has_core(entry)
            if has_core[shape]:
                span.add(at)
    return kept, passed_over


def _has_core(entry: ReadingEntry) -> bool:
    temperatures = entry.part.get("temperatures", {})
    return "core" in temperatures or "points" in temperatures
