"""The headline and the short text for a chat or a text message."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime
from typing import Final

from rules.actions.records import ACTIONS
from rules.catalogue import said
from rules.language.model import Gravity
from rules.tables.emergency import numbers_to_call
from rules.tables.sentences import SENTENCES
from service.actions.rank import FIRE_ACTION
from service.answer.shapes.action import ActionShown, CautionShown
from service.answer.shapes.advice import LookAgain
from service.render.numbers import dose_in_words
from service.units.figures import figure

LONGEST_SAY: Final = figure(320, "characters", "Two text messages", "no source")
FIRE_SENTENCE = SENTENCES["answer.fire"]
"""In English."""
FEW_PARTS: Final = figure(3, "doses", "So many doses at most are told in a short text", "no source")
TIMERS = frozenset({"air_minutes_per_hour", "water_minutes_per_hour"})
HOURS_COUNT_BELOW_DAYS: Final = figure(1.0, "days", "Looks sooner than this are told with their hour", "no source")


def headline(actions: Sequence[ActionShown]) -> str:
    """One sentence: the first action, when, and the surest reason."""
    first = actions[0]
    because = first["reasons"][0]["text"] if first["reasons"] else ""
    start = said("answer.fire") if first["action"] == FIRE_ACTION else _without_dose(first)
    return f"{start} {because}".strip()


def short_text(actions: Sequence[ActionShown], look_again: LookAgain, local_number: str | None = None) -> str:
    """At most 320 characters.

    What concerns life in the next hour, then what to do first with its dose, then what else concerns life; and as far
    as there is room why, what comes next, and when to look again.
    """
    first = actions[0]
    soon, later = life_cautions(actions, soon=True), life_cautions(actions, soon=False)
    if first["action"] == FIRE_ACTION:
        must = [said("answer.fire"), emergency_call(local_number), *_briefs(soon)]
        may = [_because(first), look_again_in_words(first["action"], look_again), *_briefs(later)]
    else:
        ways = _shorter_and_shorter(first, soon, later)
        must = next((parts for parts in ways if len(" ".join(parts)) <= LONGEST_SAY), ways[-1])
        may = [_because(first), *map(_short, actions[1:FEW_PARTS])]
        may.append(look_again_in_words(first["action"], look_again))
    return _fitted(must, may)


def _shorter_and_shorter(
    first: ActionShown, soon: Sequence[CautionShown], later: Sequence[CautionShown]
) -> list[list[str]]:
    """The first action and what concerns life, in fewer and fewer words; the dose stands aside last."""
    ways = []
    for move in (_short(first), _without_dose(first)):
        ways.append([*_briefs(soon), move, *_briefs(later)])
        ways.append([*_briefs(soon), move, *_dangers(later)])
        ways.append([*_dangers([*soon, *later]), move])
    return ways


def life_cautions(actions: Iterable[ActionShown], *, soon: bool | None = None) -> list[CautionShown]:
    """The cautions for life of all the actions, in order; only those of the next hour, or only the others."""
    return [
        caution
        for action in actions
        for caution in action["cautions"]
        if caution["gravity"] == Gravity.LIFE and soon in (None, caution["soon"])
    ]


def emergency_call(local_number: str | None) -> str:
    """The numbers of the emergency call in a sentence."""
    return said("answer.emergency", numbers=" / ".join(numbers_to_call(local_number)))


def look_again_in_words(action: str, look_again: LookAgain) -> str:
    """When to look again, in a sentence."""
    return said("answer.look-again", day=look_when(action, look_again))


def look_when(action: str, look_again: LookAgain) -> str:
    """The day on which to look again; with the time of day, to the half hour before it, where it is soon."""
    at = datetime.fromisoformat(look_again["at"])
    day = f"{at:%A} {short_day(at.date())}"
    if ACTIONS[action].look_again_days >= HOURS_COUNT_BELOW_DAYS:
        return day
    return f"{day} {said('page.at-hour', hour=hour_of(at.replace(minute=at.minute // 30 * 30)))}"


def short_day(day: date) -> str:
    """A day as `7 Feb`."""
    return f"{day.day} {day:%b}"


def hour_of(at: datetime) -> str:
    """The time of day of a moment, in its own offset."""
    return f"{at:%H:%M}" + ("" if at.utcoffset() else " UTC")


def _fitted(must: Iterable[str], may: Iterable[str]) -> str:
    """All of `must`, and then what of `may` finds room."""
    text = ""
    for part in (*must, *may):
        longer = f"{text} {part}".strip()
        if len(longer) <= LONGEST_SAY:
            text = longer
    return text


def _briefs(cautions: Iterable[CautionShown]) -> Iterator[str]:
    return (caution["brief"] or caution["text"] for caution in cautions)


def _dangers(cautions: Iterable[CautionShown]) -> list[str]:
    """All of these in one sentence; nothing where there are none."""
    tags = dict.fromkeys(said(f"tag.{caution['rule']}") for caution in cautions)
    return [said("answer.danger", dangers=", ".join(tags))] if tags else []


def _because(action: ActionShown) -> str:
    return action["reasons"][0]["text"] if action["reasons"] else ""


def _short(action: ActionShown) -> str:
    if not action["doses"]:
        return _without_dose(action)
    return said("answer.action-with-dose", title=action["title"], when=when(action), amount=amount_in_words(action))


def amount_in_words(action: ActionShown) -> str:
    """The first dose, with the hours of the day that its minutes run in; empty where there is none."""
    doses = action["doses"]
    timed = bool(doses) and doses[0]["of"] in TIMERS
    told = [*doses[:1], *(dose for dose in doses[1:] if timed and dose["of"] == "hours_per_day")]
    return ", ".join(dose_in_words(dose) for dose in told)


def _without_dose(action: ActionShown) -> str:
    return said("answer.action", title=action["title"], when=when(action))


def when(action: ActionShown) -> str:
    """By when an action is to be done."""
    return said(f"answer.when.{action['urgency']}")
