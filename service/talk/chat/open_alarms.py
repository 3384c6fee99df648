"""Alarms that nobody has settled yet: they stay first from message to message, until somebody says how it stands."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from rules.catalogue import said
from rules.tables.alarm_words import speaks_of
from service.problems.json_text import JsonObject
from service.talk.chat.alarm import Alarms
from service.talk.chat.draft import Draft

_PIPES: Final = frozenset({"pipe_frozen", "pipe_burst"})


def with_unsettled(found: Alarms, draft: Draft, text: str) -> Alarms:
    """The alarms of a message with those before it that nobody has settled; the draft keeps them."""
    older = [kind for kind in draft.unsettled if kind not in found.kinds and not _settled(kind, draft.status, text)]
    if "people" in {*draft.unsettled} - {*older, *found.kinds} and draft.status.get("people"):
        draft.status["people"] = []  # whoever was told of is well again
    draft.unsettled = list(dict.fromkeys([*older, *found.kinds]))
    if not older:
        return found
    told = (*found.sentences, *(said(f"alarm.still.{kind}") for kind in older))
    return replace(found, sentences=told, fire=found.fire or "fire" in older, open=True)


def settles(text: str) -> bool:
    """Whether a text says in so many words that all is well, or mended."""
    return speaks_of("well", text) or speaks_of("mended", text)


def _settled(kind: str, status: JsonObject, text: str) -> bool:
    """Whether the status tells by now how it stands, or the message says in so many words that all is well again.

    Fire is settled by a look alone: smoke seen or not seen.
    """
    signs = status.get("signs")
    if kind == "fire":
        return signs is not None or "smoke" in (status.get("not_seen") or [])
    if kind == "people" and status.get("people") == []:
        return True
    if kind == "pipes" and _PIPES & set(signs or []):
        return True
    said_so = speaks_of("mended" if kind in ("pipes", "current") else "well", text)
    return said_so and "?" not in text and not speaks_of("denied", text)
