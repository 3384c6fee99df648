"""The headline and the short text for a chat or a text message."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from rules.catalogue import said
from rules.model import Urgency
from rules.sentences import SENTENCES
from service.rank import FIRE_ACTION
from service.wording import shown, unit_of_amount

LONGEST_SAY = 320
"""Characters of two text messages."""
WHEN = {urgency.value: SENTENCES[f"answer.when.{urgency.value}"] for urgency in Urgency}
FIRE_SENTENCE = SENTENCES["answer.fire"]
"""These two in English."""
FEW_PARTS = 3


def headline(actions: Sequence[dict[str, Any]]) -> str:
    """One sentence: the first action, when, and the surest reason."""
    first = actions[0]
    because = first["reasons"][0]["text"] if first["reasons"] else ""
    start = said("answer.fire") if first["action"] == FIRE_ACTION else _without_dose(first)
    return f"{start} {because}".strip()


def say(actions: Sequence[dict[str, Any]], look_again: dict[str, Any]) -> str:
    """At most 320 characters: what to do first with its dose, then what comes next, then when to look again."""
    first = actions[0]
    parts = [said("answer.fire") if first["action"] == FIRE_ACTION else _short(first)]
    if first["reasons"]:
        parts.append(first["reasons"][0]["text"])
    parts += [_short(action) for action in actions[1:FEW_PARTS]]
    parts.append(said("answer.look-again", day=look_again["at"][:10]))
    text = ""
    for part in parts:
        longer = f"{text} {part}".strip()
        if len(longer) <= LONGEST_SAY:
            text = longer
    return text


def _short(action: dict[str, Any]) -> str:
    if not action["doses"]:
        return _without_dose(action)
    dose = action["doses"][0]
    amount = {"value": shown(dose["value"]), "unit": unit_of_amount(dose)}
    if dose["low"] == dose["high"]:
        return said("answer.action-with-exact-dose", title=action["title"], when=_when(action), **amount)
    spread = {"low": shown(dose["low"]), "high": shown(dose["high"])}
    return said("answer.action-with-dose", title=action["title"], when=_when(action), **amount, **spread)


def _without_dose(action: dict[str, Any]) -> str:
    return said("answer.action", title=action["title"], when=_when(action))


def _when(action: dict[str, Any]) -> str:
    return said(f"answer.when.{action['urgency']}")
