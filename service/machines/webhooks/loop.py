"""Runs the delivery of webhooks beside the service, in a thread of its own. Imports nothing heavy at first."""

from __future__ import annotations

import logging
import threading
from typing import Final

from service import logbook
from service.logbook.store.place import exists
from service.problems.problem import Problem
from service.work.places import asker

LOOK_EVERY_S: Final = 30.0
LONGEST_END_S: Final = 3.0
"""How long the service waits for an attempt in progress when it ends; what is not finished is sent again later."""
_LOG: Final = logging.getLogger(__name__)


class Deliveries:
    """Looks for something to tell, and sends it. It touches nothing until there is a log book."""

    def __init__(self, every_s: float = LOOK_EVERY_S) -> None:
        self._every_s = every_s
        self._ended = threading.Event()
        self._thread = threading.Thread(target=self._run, name="webhooks", daemon=True)

    def start(self) -> None:
        """Begin."""
        self._thread.start()

    def end(self) -> None:
        """Finish what is being sent, and end."""
        self._ended.set()
        self._thread.join(LONGEST_END_S)

    def _run(self) -> None:
        asker.set("thread")
        while not self._ended.wait(self._every_s):
            try:
                if exists():
                    _once()
            except (Problem, ValueError) as problem:  # a log book that cannot be used now may be usable later
                _LOG.warning("webhooks wait: %s", problem)
            except Exception:
                _LOG.exception("webhooks failed this time")


def _once() -> None:
    from service.machines.webhooks.delivery import Delivery

    delivery = Delivery(logbook.store.engine.the_store())
    delivery.notice()
    delivery.deliver()
