"""A transport that begins and ends well.

The head of an answer waits for the first of its body: one call of the system instead of two, and no moment between them
in which a crash would leave half an answer. And a connection is not let go while the system still holds something that
its peer has not taken: closed, it would be out of sight of every cap and deadline for a quarter of an hour, with up
to `SEND_BUFFER` in it.
"""

from __future__ import annotations

import asyncio
import contextlib
import fcntl
import socket
import struct
import sys
import termios
from collections.abc import Callable
from typing import Any, Final

WHOLE: Final = 64 * 1024
"""Answers of up to so many bytes go to the system in one call: its buffer for a connection at rest holds more."""
SEND_BUFFER: Final = 128 * 1024
"""Bytes of an answer the system holds for a peer that does not read."""
_AT_ONCE: Final = struct.pack("ii", 1, 0)


def bound_buffers(own: Any) -> None:
    """Bound what the system holds for a connection.

    How long is left to `Pace`: the system's own limit (TCP_USER_TIMEOUT) resets peers that read slowly but steadily.
    """
    if own is not None and own.family != socket.AF_UNIX:
        own.setsockopt(socket.SOL_SOCKET, socket.SO_SNDBUF, SEND_BUFFER)


class Joined(asyncio.Transport):
    """Passes everything on; what is written while it `holds` waits for what is written next."""

    holds = False
    ends = False
    """Whether what is written next is the last of an answer."""
    leaves = False
    """Whether nothing more is said, and only waited until the peer has taken what was."""

    def __init__(self, transport: asyncio.Transport, beginning: Callable[[bool], None]) -> None:
        self._transport = transport
        self._beginning = beginning
        self._held = b""
        self._written = 0
        self.get_extra_info = transport.get_extra_info  # type: ignore[method-assign]
        self.get_write_buffer_size = transport.get_write_buffer_size  # type: ignore[method-assign]
        self.pause_reading = transport.pause_reading  # type: ignore[method-assign]
        self.resume_reading = transport.resume_reading  # type: ignore[method-assign]

    def is_closing(self) -> bool:
        """Whether nothing more is to be read or written."""
        return self.leaves or self._transport.is_closing()

    def write(self, data: Any) -> None:
        """Send it, and before it what was held; `beginning` is told where an answer begins, and if all of it goes."""
        if self.leaves:
            return
        if self.holds:
            self._held += data
            return
        if self._held:
            data, self._held = self._held + data, b""
            self._beginning(self.ends and len(data) <= WHOLE)
        self._written += len(data)
        self._transport.write(data)

    def unread(self) -> int:
        """Bytes of answers that wait here or in the system, where it tells."""
        waiting, own = self.get_write_buffer_size(), self.get_extra_info("socket")
        try:
            return waiting + int.from_bytes(fcntl.ioctl(own.fileno(), termios.TIOCOUTQ, bytes(4)), sys.byteorder)
        except (AttributeError, OSError):
            return waiting

    def taken(self) -> int:
        """Bytes of answers that the peer has taken so far."""
        return self._written - self.unread()

    def close(self) -> None:
        """Close it once the peer has taken everything: `look_away` is to be called then.

        What is still held goes nowhere: without a body it would be no answer.
        """
        if self.is_closing():
            return
        if not self.unread():
            self._transport.close()
            return
        self.leaves = True
        with contextlib.suppress(OSError):  # the peer has left; the transport is about to hear of it
            self._transport.write_eof()

    def look_away(self) -> None:
        """Nothing is unread any more: close it if that was waited for."""
        if self.leaves:
            self._transport.close()

    def abort(self) -> None:
        """End it now, and let nothing of it stay, here or in the system."""
        own = self.get_extra_info("socket")
        with contextlib.suppress(AttributeError, OSError):
            own.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, _AT_ONCE)
        self._transport.abort()
