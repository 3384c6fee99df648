"""Pages of other sites: what a browser sends for them changes nothing here and learns nothing of the log book.

A browser says where a request comes from in `Sec-Fetch-Site` and `Origin`, and a page cannot change that. What is no
browser sends neither and is let pass; it is the token, or sitting at this machine, that lets it in. A site whose name
suddenly leads to this machine is to the browser the same site as the service: a service that is only for this machine
is therefore asked under this machine's own names.
"""

from __future__ import annotations

from collections.abc import Collection
from typing import Final
from urllib.parse import urlsplit

from starlette.types import Scope

from service.http.access import WORK_BY_READING, is_named_here
from service.problems.problem import Problem

SAFE: Final = frozenset({"GET", "HEAD", "OPTIONS"})
_OWN: Final = frozenset({b"same-origin", b"none"})
_DETAIL: Final = "A page of another site may not ask this. Pages of yours are named in WARMHEAP_ORIGINS at the service."


def refuse_foreign(scope: Scope, allowed: Collection[str], *, is_private: bool, is_only_here: bool) -> None:
    """Refuse a request that another site's page makes, where it could change something or is private.

    Parameters
    ----------
    scope
        The request.
    allowed
        Origins of other pages that may, in lower case.
    is_private
        Whether the answer is of the log book, so that even reading is refused.
    is_only_here
        Whether the service is only for this machine.
    """
    is_read = scope["method"] in SAFE and not is_private
    if is_read and scope["path"] not in WORK_BY_READING:
        return
    site = origin = host = wanted = None
    for name, value in scope["headers"]:
        if name == b"sec-fetch-site":
            site = value.lower()
        elif name == b"origin":
            origin = value.decode("latin-1").lower()
        elif name == b"host":
            host = value.decode("latin-1").lower()
        elif name == b"sec-fetch-dest":
            wanted = value
    if (site is None and origin is None) or (origin is not None and origin in allowed):
        return
    if is_read and wanted == b"document":
        return  # somebody followed a link
    is_own = site in _OWN or (site is None and origin is not None and _is_of(origin, host))
    if is_own and (not is_only_here or is_named_here(host or "")):
        return
    raise Problem("forbidden", _DETAIL)


def _is_of(origin: str, host: str | None) -> bool:
    """Whether an origin is that of the host the request was sent to; one that hides itself is not."""
    try:
        place = urlsplit(origin)
    except ValueError:
        return False
    return place.scheme in ("http", "https") and bool(host) and place.netloc == host
