"""Conversations, each beginning of which is talked through once: many tests go on from the same one."""

from __future__ import annotations

from copy import deepcopy
from datetime import UTC, datetime
from functools import cache

from service.talk.chat.draft import Draft
from service.talk.chat.talk import turn
from service.talk.chat.turn_reply import TurnReply

NOW = datetime(2026, 1, 20, 8, tzinfo=UTC)


def talked(*said: str) -> tuple[Draft, list[TurnReply]]:
    """The draft after these messages, and the reply to each."""
    return deepcopy(_talked(said))


@cache
def _talked(said: tuple[str, ...]) -> tuple[Draft, list[TurnReply]]:
    if not said:
        return Draft(), []
    draft, replies = talked(*said[:-1])
    return draft, [*replies, turn(draft, said[-1], NOW)]
