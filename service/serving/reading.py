"""Requests as they are read: what HTTP/1.1 leaves open, or lets two readers read in two ways, is settled here."""

from __future__ import annotations

from typing import Any, Final

import h11

FREE_CHUNKS: Final = 100_000
"""Chunks a body may come in, however small: as many as a batch has lines. One costs about 6 µs whatever is in it."""
LEAST_CHUNK: Final = 128
"""Beyond those, each chunk must be paid for with so many bytes of body."""
_SCHEMES: Final = (b"http://", b"https://")


class Reader(h11.Connection):
    """Reads requests. Raises h11.RemoteProtocolError, and `fault` says why, where one is not to be answered."""

    fault = "This is not a request of HTTP/1.1 that can be read."
    _chunks = 0
    _came = 0

    def next_event(self) -> Any:
        """As of the library's."""
        event = super().next_event()
        if isinstance(event, h11.Request):
            return self._begun(event)
        if isinstance(event, h11.Data):
            self._count_chunk(event)
        return event

    def _begun(self, request: h11.Request) -> h11.Request:
        self._chunks = self._came = 0
        names = {name for name, _ in request.headers}
        # Whoever reads one of two lengths takes the rest for another request (RFC 9112, 6.1).
        if b"transfer-encoding" in names and (b"content-length" in names or request.http_version < b"1.1"):
            self._refuse("The request says in two ways where its body ends.")
        return _as_at_origin(request)

    def _count_chunk(self, data: h11.Data) -> None:
        self._chunks += data.chunk_start
        self._came += len(data.data)
        if self._chunks > FREE_CHUNKS + self._came // LEAST_CHUNK:
            self._refuse("The body comes in too many small chunks; send larger ones.")

    def _refuse(self, fault: str) -> None:
        self.fault = fault
        raise h11.RemoteProtocolError(fault)


def _as_at_origin(request: h11.Request) -> h11.Request:
    """A request whose target is a whole address, as if it had been sent to that host (RFC 9112, 3.2.2)."""
    scheme = next((each for each in _SCHEMES if request.target.lower().startswith(each)), None)
    if scheme is None:
        return request
    place = request.target[len(scheme) :]
    host = min((place.partition(mark)[0] for mark in (b"/", b"?")), key=len)
    fields = [(name, value) for name, value in request.headers if name != b"host"]
    path = place[len(host) :]
    return h11.Request(
        method=request.method,
        headers=[(b"host", host), *fields],
        target=path if path.startswith(b"/") else b"/" + path,
        http_version=request.http_version,
    )
