"""An answer or a problem as text for a terminal or a message."""

from __future__ import annotations

import shutil
import sys
import textwrap
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from rules.catalogue import ENGLISH, said
from rules.tables.materials import MATERIALS
from service.actions.rank import FIRE_ACTION
from service.answer.brief import brief
from service.answer.shapes.action import ActionShown, AvoidShown, CautionShown, DoseShown
from service.answer.shapes.advice import Advice
from service.answer.shapes.draw_plan import DrawPlan
from service.answer.shapes.heat import Energy, HeatBalance, Tonight
from service.answer.shapes.part import Assumed
from service.answer.words import life_cautions, look_when, when
from service.problems.problem import Problem
from service.render.numbers import dose_in_words, quantity_in_words
from service.render.shape import Quantity
from service.units.figures import figure
from service.worth.shape import AskNext

WIDTH: Final = figure(100, "characters", "A line where no terminal says how many it has", "no source")
MOST_REASONS: Final = figure(3, "reasons", "Reasons told for each action; the JSON answer has them all", "no source")
QUANTITIES: Final = {
    "tonight": ("needed", "from_pile", "short_by"),
    "heat_balance": (
        "made",
        "lost.ground_and_air",
        "lost.evaporation",
        "drawn.air.sensible",
        "drawn.air.latent",
        "drawn.water",
        "stored",
        "unexplained",
    ),
    "energy": ("total", "usable_left", "burst_draw", "season_draw", "asked"),
}
"""Parts of an answer that are lists of amounts, with what is told of each, in order."""
Amounts = Tonight | HeatBalance | Energy


def brief_as_text(answer: Advice) -> str:
    """What to do first in at most 120 words."""
    lines = [
        wrapped for line in brief(answer, _dose) for wrapped in _wrap(line.strip(), "     ", line[: _indent(line)])
    ]
    return "\n".join(lines)


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip())


def advice_as_text(answer: Advice) -> str:
    """The whole answer as plain text, the first thing to do first."""
    soon = life_cautions(answer["actions"], soon=True)
    cautions = [line for caution in soon for line in _wrap(said("plain.care", text=caution["text"]), "   ", "")]
    fire = answer["actions"][0]["action"] == FIRE_ACTION  # then going away comes before anything else
    lines = [answer["headline"], *cautions, ""] if fire else [*cautions, answer["headline"], ""]
    cited: dict[str, int] = {}
    because = {reason["text"] for action in answer["actions"] for reason in action["reasons"]}
    soon += [each for action in answer["actions"] for each in action["cautions"] if each["text"] in because]
    for action in answer["actions"]:
        lines += action_as_text(action, soon, cited)
    lines += _avoid(answer["avoid"])
    lines += _draw_plan(answer["draw_plan"])
    lines += _quantities("tonight", answer["tonight"], answer["tonight"]["verdict"])
    lines += _quantities("heat_balance", answer["heat_balance"])
    lines += _quantities("energy", answer["energy"], answer["energy"]["verdict"])
    lines += _assumed(answer["assumed"])
    lines += _ask_next(answer["ask_next"])
    look = answer["look_again"]
    at = look_when(answer["actions"][0]["action"], look)
    lines += [*_wrap(said("plain.look", at=at, watch_for=look["watch_for"]), ""), ""]
    lines += _sources(cited)
    return "\n".join(lines)


def _sources(cited: Mapping[str, int]) -> Iterator[str]:
    """What the numbers in brackets stand for."""
    if cited:
        yield said("plain.sources")
    for cite, number in cited.items():
        yield from _wrap(cite, "       ", f"   [{number}] ")


def problem_as_text(problem: Problem) -> str:
    """A problem as one line and one more for each field the first line does not speak of."""
    lines = [problem.detail]
    for error in problem.errors:
        rest = [f"{name} {error[name]}" for name in ("read", "allowed") if error.get(name) is not None]
        if error["detail"] in problem.detail and len(lines) == 1:
            lines[0] += f" ({'; '.join(rest)})" if rest else ""
        else:
            lines.append("  " + "; ".join([f"{error['pointer'] or '(whole body)'}: {error['detail']}", *rest]))
    return "\n".join(lines)


def line_width() -> int:
    """Characters in a line: those of the terminal, where there is one."""
    return min(WIDTH, shutil.get_terminal_size((WIDTH, 24)).columns) if sys.stdout.isatty() else WIDTH


def _wrap(text: str, indent: str, first: str | None = None) -> Iterator[str]:
    yield from textwrap.wrap(
        text, line_width(), initial_indent=indent if first is None else first, subsequent_indent=indent
    )


def _draw_plan(plan: DrawPlan | None) -> list[str]:
    if plan is None:
        return []
    return [said("plain.draw"), *_wrap(f"{plan['text']} {plan['why']}", "  "), ""]


def action_by_itself(actions: Sequence[ActionShown], number: int) -> Iterator[str]:
    """One action line by line, apart from the others: with those of its cautions that stand with an action above."""
    action = actions[number - 1]
    above = [
        caution for other in actions for caution in other["cautions"] if caution["rule"] in action["cautions_above"]
    ]
    cited: dict[str, int] = {}
    yield from action_as_text({**action, "cautions": [*above, *action["cautions"]]}, (), cited)
    yield from _sources(cited)


def action_as_text(action: ActionShown, told: Sequence[CautionShown], cited: dict[str, int]) -> Iterator[str]:
    """One action with its dose, steps, reasons, effect and cautions, line by line; without what was `told` before.

    Sources stand as numbers, which `cited` holds and grows by.
    """
    head = f"{action['rank']}. {action['title']} - {when(action)} ({action['effort']})"
    yield head
    for dose in action["doses"]:
        yield from _wrap(said("plain.how-much", dose=_dose(dose)), "     ", "   ")
    for step in action["steps"]:
        yield from _wrap(step, "     ", "   - ")
    for reason in action["reasons"][:MOST_REASONS]:
        number = cited.setdefault(reason["source"]["cite"], len(cited) + 1)
        yield from _wrap(said("plain.because", text=reason["text"], number=str(number)), "     ", "   ")
    more = len(action["reasons"]) - MOST_REASONS
    if more > 0:
        yield "   " + said("plain.more-reasons", count=str(more))
    for told_of_it in (action["effect"]["text"], action["effect"]["note"] if action["effect"]["text"] else None):
        yield from _wrap(told_of_it, "     ", "   ") if told_of_it else ()
    for caution in action["cautions"]:
        if caution not in told:
            yield from _wrap(said("plain.care", text=caution["text"]), "     ", "   ")
    yield ""


def _dose(dose: DoseShown) -> str:
    text = f"{_dose_name(dose['of'])} {dose_in_words(dose)}"
    if dose["split"] > 1:
        text += said("plain.in-parts", count=str(dose["split"]))
    instead = [f"{_dose_name(other['of'])} {dose_in_words(other)}" for other in dose["or_instead"]]
    return text + (said("plain.instead", doses=said("plain.or").join(instead)) if instead else "")


def _dose_name(of: str) -> str:
    named = dose_name(of)
    if named is not None:
        return named
    return MATERIALS[of].name if of in MATERIALS else of.replace("_", " ")


def dose_name(of: str) -> str | None:
    """What a dose is called that is no amount of a material; None where it is one."""
    return said(f"dose.{of}") if f"dose.{of}" in ENGLISH else None


def _avoid(avoid: list[AvoidShown]) -> Iterator[str]:
    if not avoid:
        return
    yield said("plain.do-not")
    for item in avoid:
        reasons = " ".join(reason["text"] for reason in item["reasons"])
        yield from _wrap(f"{item['title']}: {reasons}", "     ", "   - ")
    yield ""


def _quantities(part: str, record: Amounts, verdict: str = "") -> Iterator[str]:
    yield said(f"plain.{part}")
    for name, value in named_quantities(part, record):
        yield f"   {name:<32} {quantity_in_words(value)}"
    if verdict:
        yield from _wrap(verdict, "   ")
    yield ""


def named_quantities(part: str, record: Amounts) -> Iterator[tuple[str, Quantity | None]]:
    """The amounts of a part of the answer with what each is called, in order."""
    for path in QUANTITIES[part]:
        value: Any = record
        for key in path.split("."):
            value = value[key]
        yield said(f"{part}.{path}"), value


def _assumed(assumed: list[Assumed]) -> Iterator[str]:
    if not assumed:
        return
    yield said("plain.assumed")
    for item in assumed:
        value = "" if item["unit"] == "1" else f"{quantity_in_words(item)}; "
        yield from _wrap(f"{item['field']}: {value}{item['why']}", "     ", "   - ")
    yield ""


def _ask_next(questions: list[AskNext]) -> Iterator[str]:
    if not questions:
        return
    yield said("plain.to-know")
    for item in questions:
        yield from _wrap(f"{item['question']} ({item['why']})", "     ", "   - ")
    yield ""
