"""Conversations that are going on, kept in this process: so many, so long, and gone when it stops."""

from __future__ import annotations

import threading
import time
from collections import OrderedDict
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Final

from service.talk.chat.draft import Draft

MOST_KEPT: Final = 1000
KEPT_S: Final = 12 * 3600.0
"""A conversation nobody has gone on with for this long is forgotten."""


@dataclass(slots=True)
class _Kept:
    """A draft, when it was last used, and the lock that lets one message at a time into it."""

    draft: Draft = field(default_factory=Draft)
    used_at: float = 0.0
    lock: threading.Lock = field(default_factory=threading.Lock)


class Conversations:
    """Drafts by conversation id; the one that was left alone longest goes first."""

    def __init__(
        self, most: int = MOST_KEPT, kept_s: float = KEPT_S, clock: Callable[[], float] = time.monotonic
    ) -> None:
        self._most = most
        self._kept_s = kept_s
        self._clock = clock
        self._kept: OrderedDict[str, _Kept] = OrderedDict()
        self._lock = threading.Lock()

    def __len__(self) -> int:
        """How many are kept."""
        return len(self._kept)

    @contextmanager
    def draft(self, name: str) -> Iterator[Draft]:
        """The draft of a conversation, new where it is not known or was forgotten; others that want it wait."""
        kept = self._of(name)
        with kept.lock:
            yield kept.draft

    def _of(self, name: str) -> _Kept:
        now = self._clock()
        with self._lock:
            while self._kept and now - next(iter(self._kept.values())).used_at > self._kept_s:
                self._kept.popitem(last=False)
            kept = self._kept.setdefault(name, _Kept())
            kept.used_at = now
            self._kept.move_to_end(name)
            while len(self._kept) > self._most:
                self._kept.popitem(last=False)
        return kept
