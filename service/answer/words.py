"""The headline and the short text for a chat or a text message."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from service.rank import FIRE_ACTION
from service.wording import SPELLED, shown

LONGEST_SAY = 320
"""Characters of two text messages."""
WHEN = {
    "now": "now",
    "today": "today",
    "this_week": "this week",
    "this_month": "this month",
    "next_pile": "with the next heap",
}
FIRE_SENTENCE = "Keep clear of the heap and call the fire service. Do not open it, and blow no air in."
FEW_PARTS = 3


def headline(actions: Sequence[dict[str, Any]]) -> str:
    """One sentence: the first action, when, and the surest reason."""
    first = actions[0]
    because = first["reasons"][0]["text"] if first["reasons"] else ""
    start = FIRE_SENTENCE if first["action"] == FIRE_ACTION else f"{first['title']} {WHEN[first['urgency']]}."
    return f"{start} {because}".strip()


def say(actions: Sequence[dict[str, Any]], look_again: dict[str, Any]) -> str:
    """At most 320 characters: what to do first with its dose, then what comes next, then when to look again."""
    first = actions[0]
    parts = [FIRE_SENTENCE if first["action"] == FIRE_ACTION else _short(first)]
    if first["reasons"]:
        parts.append(first["reasons"][0]["text"])
    parts += [_short(action) for action in actions[1:FEW_PARTS]]
    parts.append(f"Look again {look_again['at'][:10]}.")
    text = ""
    for part in parts:
        longer = f"{text} {part}".strip()
        if len(longer) <= LONGEST_SAY:
            text = longer
    return text


def _short(action: dict[str, Any]) -> str:
    text = f"{action['title']} {WHEN[action['urgency']]}"
    if action["doses"]:
        dose = action["doses"][0]
        unit = SPELLED.get(dose["unit"], dose["unit"])
        text += f": {shown(dose['low'])} to {shown(dose['high'])} {unit}"
    return text + "."
