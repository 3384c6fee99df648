"""One attempt to deliver: a POST to the address that was judged, without following where it leads."""

from __future__ import annotations

import http.client
import socket
import ssl
import threading
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from typing import Final

from rules.catalogue import said
from service.machines.webhooks.guard import RefusedError, Target, allowed_networks, target_of

TIMEOUT_S: Final = 20.0
"""For all of one attempt; the specification recommends 15 to 30 s."""
TOO_SLOW: Final = said("webhook.too-slow", seconds=f"{TIMEOUT_S:.0f}")
_GONE: Final = 410


@dataclass(frozen=True, slots=True)
class Receipt:
    """What came of an attempt: the receiver's status code, or why there is none."""

    status: int | None
    error: str | None = None

    @property
    def is_delivered(self) -> bool:
        """Whether the receiver took it."""
        return self.status is not None and 200 <= self.status < 300

    @property
    def is_gone(self) -> bool:
        """Whether the receiver wants no more."""
        return self.status == _GONE


Send = Callable[[str, Mapping[str, str], bytes], Receipt]


def send(url: str, headers: Mapping[str, str], body: bytes) -> Receipt:
    """Post the body. Redirects are failures; what the receiver says beside its status is not read."""
    try:
        target = target_of(url, allowed_networks())
    except RefusedError as refused:
        return Receipt(None, said("webhook.refused", why=str(refused)))
    connection = _Pinned(target)
    watch = threading.Timer(TIMEOUT_S, connection.cut)
    watch.start()
    try:
        connection.request("POST", target.path, body, dict(headers))
        status = connection.getresponse().status
        if connection.was_cut:
            return Receipt(None, TOO_SLOW)
        return Receipt(status, None if status < 300 else said("webhook.answered", status=str(status)))
    except (OSError, http.client.HTTPException) as error:
        return Receipt(None, TOO_SLOW if connection.was_cut else _why(error))
    finally:
        watch.cancel()
        connection.close()


class _Pinned(http.client.HTTPConnection):
    """A connection to an address settled before; the name only goes into TLS and the Host header."""

    def __init__(self, target: Target) -> None:
        host = f"[{target.host}]" if ":" in target.host else target.host
        super().__init__(host, target.port, timeout=TIMEOUT_S)
        self.default_port = 443 if target.is_tls else 80
        self._target = target
        self.was_cut = False

    def connect(self) -> None:
        """Connect to the first settled address that can be reached."""
        plain = self.sock = self._reach()
        if self._target.is_tls:
            self.sock = ssl.create_default_context().wrap_socket(plain, server_hostname=self._target.host)

    def _reach(self) -> socket.socket:
        *others, last = self._target.addresses
        for address in others:
            with suppress(OSError):
                return socket.create_connection((address, self._target.port), self.timeout)
        return socket.create_connection((last, self._target.port), self.timeout)

    def cut(self) -> None:
        """End an attempt that takes too long, whatever it is doing."""
        self.was_cut = True
        if self.sock is not None:
            with suppress(OSError):
                self.sock.shutdown(socket.SHUT_RDWR)


def _why(error: Exception) -> str:
    if isinstance(error, TimeoutError):
        return TOO_SLOW
    if isinstance(error, ssl.SSLError):
        return said("webhook.tls", why=error.reason or said("webhook.broken-off"))[:200]
    if isinstance(error, OSError):
        return said("webhook.no-connection", why=error.strerror or said("webhook.broken-off"))[:200]
    return said("webhook.no-sense", what=type(error).__name__)
