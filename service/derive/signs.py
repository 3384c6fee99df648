"""What was seen and smelled."""

from __future__ import annotations

from typing import Final

from service.derive.record import Derived
from service.schemas import Status

SIGNS: Final = (
    "steam",
    "slumping",
    "white_threads",
    "leachate",
    "dry_pockets",
    "smoke",
    "snow_covered",
    "frozen_crust",
    "cracks",
    "wet_skin_dry_core",
    "no_flow_in_loop",
    "fan_stopped",
    "water_in_duct",
)


def read_signs(status: Status, derived: Derived) -> None:
    """Put smell and signs; a list of signs says of each whether it was seen, no list says nothing."""
    derived.put(smell=status.smell)
    if status.signs is not None:
        derived.put(**{sign: sign in status.signs for sign in SIGNS})
