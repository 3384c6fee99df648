"""A transport on which the head of an answer waits for the first of its body: one call of the system instead of two,
and no moment between them in which a crash would leave half an answer."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import Any, Final

WHOLE: Final = 64 * 1024
"""Answers of up to so many bytes go to the system in one call: its buffer for a connection at rest holds more."""


class Joined(asyncio.Transport):
    """Passes everything on; what is written while it `holds` waits for what is written next."""

    holds = False
    ends = False
    """Whether what is written next is the last of an answer."""

    def __init__(self, transport: asyncio.Transport, beginning: Callable[[bool], None]) -> None:
        self._transport = transport
        self._beginning = beginning
        self._held = b""
        self.abort = transport.abort  # type: ignore[method-assign]
        self.is_closing = transport.is_closing  # type: ignore[method-assign]
        self.get_extra_info = transport.get_extra_info  # type: ignore[method-assign]
        self.get_write_buffer_size = transport.get_write_buffer_size  # type: ignore[method-assign]
        self.pause_reading = transport.pause_reading  # type: ignore[method-assign]
        self.resume_reading = transport.resume_reading  # type: ignore[method-assign]

    def write(self, data: Any) -> None:
        """Send it, and before it what was held; `beginning` is told where an answer begins, and if all of it goes."""
        if self.holds:
            self._held += data
            return
        if self._held:
            data, self._held = self._held + data, b""
            self._beginning(self.ends and len(data) <= WHOLE)
        self._transport.write(data)

    def close(self) -> None:
        """What is still held goes nowhere: without a body it would be no answer."""
        self._transport.close()
