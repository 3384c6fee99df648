"""What was seen, smelled and felt, and what is on hand against it."""

from __future__ import annotations

from typing import Final

from rules.language import vocabulary
from service.facts.record import Derived
from service.status.models import Status

SIGNS: Final = tuple(vocabulary.SIGNS)
ON_HAND_ASKED: Final = ("bubble_wrap", "antifreeze", "heater", "spare_fan", "mesh")
"""Supplies that a rule asks for."""
_FELT: Final = frozenset(word.fact for word in vocabulary.SYMPTOMS.values())


def read_signs(status: Status, derived: Derived) -> None:
    """Put the signs; a list of signs says of each whether it was seen, no list says nothing.

    What was looked for by name and not seen is not there, whether or not there is a list.
    """
    looked_for = status.not_seen or () if status.signs is None else SIGNS
    derived.put(**{sign: sign in (status.signs or ()) for sign in looked_for})
    if status.people is not None:
        felt = {vocabulary.SYMPTOMS[name].fact for name in status.people}
        derived.put(**{fact: fact in felt for fact in _FELT})
    if status.on_hand is not None:
        derived.put(**{f"has_{thing}": thing in status.on_hand for thing in ON_HAND_ASKED})
