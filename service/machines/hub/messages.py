"""Readings that come by MQTT: a whole entry as JSON, or a single value on a topic of its own."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any, Final

from rules.catalogue import said
from service.logbook.book import now_utc
from service.logbook.entries import Logged, read_entries
from service.logbook.formats.columns import COLUMNS, put_value
from service.logbook.store.engine import Store
from service.logbook.store.piles import local, pile_of
from service.logbook.store.readings import add
from service.problems.fire import fire_warning
from service.problems.json_text import JsonObject
from service.problems.problem import Problem, cut
from service.status.names import did_you_mean

LARGEST: Final = 64 * 1024
NOT_A_VALUE: Final = frozenset({"", "unknown", "unavailable", "none", "None", "nan"})
"""What hubs publish where a sensor tells nothing: not looked at, never zero."""
SAME_AGAIN_AFTER: Final = timedelta(minutes=5)
"""How often a single value is logged at most, so that a sensor that chatters does not fill the log (our own)."""


class Inbox:
    """Logs what comes in for the piles of one account."""

    def __init__(self, store: Store, account_id: str) -> None:
        self._store, self._account = store, account_id
        self._logged: dict[tuple[str, str], datetime] = {}

    def take(self, pile_id: str, name: str | None, payload: bytes) -> str:
        """Log one message: `name` is a column (`core`, `outdoor` …), or None for an entry; what became of it in words.

        Raises
        ------
        Problem
            If it cannot be used, or there is no such pile.
        """
        if len(payload) > LARGEST:
            raise Problem("body-too-large", f"A message is at most {LARGEST // 1024} kB.")
        now = now_utc()
        body: bytes | JsonObject = payload
        if name is not None:
            text = payload.decode("utf-8", "replace").strip()
            if text in NOT_A_VALUE:
                return said("hub.no-value")
            body = _entry(name, text)
            alarms = fire_warning(body) is not None
            if not alarms and now - self._logged.get((pile_id, name), now - SAME_AGAIN_AFTER) < SAME_AGAIN_AFTER:
                return said("hub.same-again", name=name, minutes=str(SAME_AGAIN_AFTER.seconds // 60))
        logged = self._log(pile_id, body, now)
        if name is not None:
            self._logged[pile_id, name] = now
        warning = fire_warning([entry.part for entry in logged.readings])
        return warning or said("hub.logged")

    def _log(self, pile_id: str, body: bytes | JsonObject, now: datetime) -> Logged:
        with self._store.writing() as session:
            pile = pile_of(session, self._account, pile_id, to_change=True)
            units = pile.system
            logged = read_entries(body, units, local(pile, now))
            add(session, pile, logged, "json", now)
            return logged


def _entry(name: str, text: str) -> JsonObject:
    """A single value as an entry; a bare number is in the pile's own units, as everywhere."""
    column = COLUMNS.get(name)
    if column is None:
        raise Problem("invalid-request", f"There is no value called {cut(name)}.{did_you_mean(name, COLUMNS)}")
    value: Any = text
    if column.has_unit:
        value = _number_or_text(text)
    elif column.kind == "words":
        value = [] if text == "none" else text.split()
    elif column.kind == "flag":
        value = {"true": True, "on": True, "false": False, "off": False}.get(text.lower(), text)
    entry: JsonObject = {}
    put_value(entry, column, value)
    return entry


def _number_or_text(text: str) -> float | str:
    try:
        return float(text)
    except ValueError:
        return text
