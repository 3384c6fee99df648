"""What an explanation says as plain text around rules, tests and values."""

from __future__ import annotations

from typing import Final

EXPLAINED: Final[dict[str, str]] = {
    "explained.first": "First: {title}",
    "explained.fired": "Rules that fired",
    "explained.cannot_tell": "Cannot be told",
    "explained.did_not_hold": "Did not hold",
    "explained.change": "What would change it",
    "explained.no-change": "No single small change was found that does.",
    "explained.assumed": "Assumed, and what it does",
    "explained.if": "if {value}: {title}, season draw {draw}",
    "explained.gives": "It {gives}. Its tests:",
    "explained.not-known": "not known",
}
