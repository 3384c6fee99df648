"""Header fields that every answer has, so that browsers are careful with it. Needs nothing else of the service."""

from __future__ import annotations

from typing import Final

HEADERS: Final = {
    "x-content-type-options": "nosniff",
    "content-security-policy": "default-src 'none'; base-uri 'none'; frame-ancestors 'none'",
    "cross-origin-resource-policy": "same-origin",
    # "no-referrer" would make browsers hide the origin of our own form, which must be seen to be ours.
    "referrer-policy": "same-origin",
}
