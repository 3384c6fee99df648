"""The same status through each door: one first action, the same cautions for life, the same figures, the same plan."""

from __future__ import annotations

import html
import re
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from typing import Any, Final

from service.answer.plain_text import advice_as_text, brief_as_text
from service.answer.words import FIRE_SENTENCE, amount_in_words, life_cautions
from service.machines.hub.now import in_short
from service.page.render import answer_page
from service.page.view import view_of
from service.talk.chat.draft import Draft
from service.talk.chat.talk import turn
from service.talk.tools.answers import advise_tool
from tests.coherence.case import Answer, Case, first, in_fire

Door = Callable[[Case, Answer], Iterator[str]]
ASKS: Final = "what should I do?"


def through_the_chat(case: Case, answer: Answer) -> Iterator[str]:
    told = {name: value for name, value in case.body.items() if name != "as_of"}
    draft, now = Draft.of(told), datetime.fromisoformat(case.body["as_of"])
    reply = turn(draft, ASKS, now)
    if reply.actions[0]["action"] != first(answer)["action"]:
        yield f"{reply.actions[0]['action']} in the chat, {first(answer)['action']} in the answer"
    yield from _missing(reply.text, [caution["text"] for caution in life_cautions(answer["actions"], soon=True)])
    if in_fire(answer):
        return  # from a fire one goes away: what else concerns life waits
    later = life_cautions(answer["actions"], soon=False)
    plan = answer["draw_plan"]["text"] if answer["draw_plan"] else ""
    begun = re.split(r"(?<=[.!?]) (?=[A-Z])", plan)[0]  # a cold hand scrolls no further
    yield from _missing(reply.text, [amount_in_words(first(answer)), begun, *(each["brief"] for each in later)])
    if not reply.alarms.open:
        more = " ".join(turn(draft, "more", now).text.split())
        yield from _missing(more, [plan, *(caution["text"] for caution in later)])


def through_the_form(case: Case, answer: Answer) -> Iterator[str]:
    built_on = (case.status.as_of.date() - timedelta(days=round(case.status.age_days))).isoformat()
    page = html.unescape(answer_page(view_of(answer, {}, case.status.as_of, built_on), {}))
    screen, _, rest = page.partition('<div class="rest">')
    wanted = [FIRE_SENTENCE if in_fire(answer) else first(answer)["title"]]
    wanted += [caution["text" if in_fire(answer) else "brief"] for caution in life_cautions(answer["actions"])]
    amount = "" if in_fire(answer) else amount_in_words(first(answer)).partition(" (")[0]
    yield from _missing(" ".join(screen.split()), [*wanted, amount])
    if answer["draw_plan"] is not None and not in_fire(answer):
        yield from _missing(rest, [answer["draw_plan"]["text"]])


def through_a_tool(case: Case, answer: Answer) -> Iterator[str]:
    told = advise_tool({"status": case.body})
    assert told.data is not None, told.text
    if [each["action"] for each in told.data["actions"]] != [each["action"] for each in answer["actions"]]:
        yield f"{told.data['actions'][0]['action']} by the tool, {first(answer)['action']} in the answer"
    if (told.data["say"], told.text) != (answer["say"], brief_as_text(answer)):
        yield told.text
    yield from _missing(" ".join(told.more.split()), [c["text"] for c in life_cautions(answer["actions"])])


def through_a_terminal(case: Case, answer: Answer) -> Iterator[str]:
    text = " ".join(advice_as_text(answer).split())
    wanted = [FIRE_SENTENCE if in_fire(answer) else first(answer)["title"]]
    yield from _missing(text, [*wanted, *(c["text"] for c in life_cautions(answer["actions"]))])


def through_a_hub(case: Case, answer: Answer) -> Iterator[str]:
    page, plan = in_short(answer), answer["draw_plan"]
    if page["action"] != first(answer)["action"] or page["fire_risk"] < in_fire(answer):
        yield f"{page['action']}, fire {page['fire_risk']}"
    timer = page.get(f"{plan['way']}_minutes_per_hour") if plan else None
    if plan is not None and timer != plan["minutes_per_hour"]:
        yield f"{timer} min/h at the hub, {plan['minutes_per_hour']} in the plan"
    runs = plan is not None and plan["by"] == "core"
    if (page["start_at_c"] is not None) is not runs:
        yield f"cores at the hub {page['start_at_c']}, plan {plan and plan['by']}"


DOORS: Final[tuple[Door, ...]] = (
    through_the_chat,
    through_the_form,
    through_a_tool,
    through_a_terminal,
    through_a_hub,
)


def complaints(case: Case) -> Iterator[str]:
    """What is told at some door otherwise than in the answer."""
    for door in DOORS:
        for complaint in door(case, case.full):
            yield f"{door.__name__}: {complaint}"


def _missing(text: str, wanted: list[Any]) -> Iterator[str]:
    yield from (f"not told: {each!r}" for each in wanted if each and each not in text)
