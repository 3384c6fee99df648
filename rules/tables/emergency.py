"""The numbers of an emergency call, and those of which at least one works from most mobile phones."""

from __future__ import annotations

from typing import Final

from rules.language.model import HowKnown, Source, SourceKind

EMERGENCY_112: Final = Source(
    SourceKind.REGULATION,
    "Directive (EU) 2018/1972, art. 109: one European emergency number, 112",
    HowKnown.FROM_MEMORY,
)
EMERGENCY_911: Final = Source(
    SourceKind.REGULATION,
    "Wireless Communications and Public Safety Act of 1999 (United States): 911 as the emergency number",
    HowKnown.FROM_MEMORY,
)
EMERGENCY_NUMBERS: Final = ("112", "911")


def numbers_to_call(local: str | None) -> tuple[str, ...]:
    """The emergency numbers, the reader's own first."""
    known = EMERGENCY_NUMBERS if local is None else (local, *EMERGENCY_NUMBERS)
    return tuple(dict.fromkeys(known))
