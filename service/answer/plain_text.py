"""An answer or a problem as text for a terminal or a message."""

from __future__ import annotations

import shutil
import sys
import textwrap
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, Final

from rules.tables.materials import MATERIALS
from service.actions.rank import FIRE_ACTION
from service.answer.brief import brief
from service.answer.words import WHEN, life_cautions
from service.problems.problem import Problem
from service.render.numbers import quantity_in_words

WIDTH = 100
"""Characters in a line where no terminal says how many it has."""
MOST_REASONS = 3
"""Reasons told for each action; the JSON answer has them all."""
DOSE_WORDS = {
    "air_flow": "air flow",
    "water_flow": "water flow",
    "air_minutes_per_hour": "fan",
    "water_minutes_per_hour": "pump",
    "hours_per_day": "draw",
    "cover_area": "cover",
    "pause_days": "pause",
}
FLOW_NAMES = (
    ("made", "made by rot"),
    ("lost.ground_and_air", "lost to ground and air"),
    ("lost.evaporation", "lost by evaporation"),
    ("drawn.air.sensible", "drawn by air, as warmth"),
    ("drawn.air.latent", "drawn by air, as vapour"),
    ("drawn.water", "drawn by water"),
    ("stored", "stored (minus: given up)"),
    ("unexplained", "unexplained"),
)
ENERGY_NAMES = (
    ("total", "in the dry matter"),
    ("usable_left", "still usable"),
    ("burst_draw", "burst draw, for hours"),
    ("season_draw", "season draw, to the goal's date"),
    ("asked", "asked of it now"),
)
TONIGHT_NAMES = (
    ("needed", "the house needs"),
    ("from_pile", "the heap can give"),
    ("short_by", "left for the stove"),
)


ALL: Final = "All of it, with steps, reasons, sources and figures: --all"
"""Where the rest of a short answer is."""


def brief_as_text(answer: dict[str, Any]) -> str:
    """What to do first in at most 120 words."""
    lines = [
        wrapped for line in brief(answer, _dose) for wrapped in _wrap(line.strip(), "     ", line[: _indent(line)])
    ]
    return "\n".join(lines)


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip())


def as_text(answer: dict[str, Any]) -> str:
    """The whole answer as plain text, the first thing to do first."""
    soon = life_cautions(answer["actions"], soon=True)
    cautions = [line for caution in soon for line in _wrap(f"Take care: {caution['text']}", "   ", "")]
    fire = answer["actions"][0]["action"] == FIRE_ACTION  # then going away comes before anything else
    lines = [answer["headline"], *cautions, ""] if fire else [*cautions, answer["headline"], ""]
    cited: dict[str, int] = {}
    because = {reason["text"] for action in answer["actions"] for reason in action["reasons"]}
    soon += [each for action in answer["actions"] for each in action["cautions"] if each["text"] in because]
    for action in answer["actions"]:
        lines += action_as_text(action, soon, cited)
    lines += _avoid(answer["avoid"])
    lines += _draw_plan(answer["draw_plan"])
    lines += _quantities("Tonight", answer["tonight"], TONIGHT_NAMES)
    lines += _quantities("Heat now", answer["heat_balance"], FLOW_NAMES)
    lines += _quantities("Energy", answer["energy"], ENERGY_NAMES)
    lines += _assumed(answer["assumed"])
    lines += _ask_next(answer["ask_next"])
    look = answer["look_again"]
    lines += [*_wrap(f"Look again {look['at'][:16].replace('T', ' ')}: {look['watch_for']}", ""), ""]
    lines += _sources(cited)
    return "\n".join(lines)


def _sources(cited: Mapping[str, int]) -> Iterator[str]:
    """What the numbers in brackets stand for."""
    if cited:
        yield "Sources"
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


def width() -> int:
    """Characters in a line: those of the terminal, where there is one."""
    return min(WIDTH, shutil.get_terminal_size((WIDTH, 24)).columns) if sys.stdout.isatty() else WIDTH


def _wrap(text: str, indent: str, first: str | None = None) -> Iterator[str]:
    yield from textwrap.wrap(text, width(), initial_indent=indent if first is None else first, subsequent_indent=indent)


def _draw_plan(plan: dict[str, Any] | None) -> list[str]:
    if plan is None:
        return []
    return ["How to draw:", *_wrap(f"{plan['text']} {plan['why']}", "  "), ""]


def action_by_itself(actions: Sequence[dict[str, Any]], number: int) -> Iterator[str]:
    """One action line by line, apart from the others: with those of its cautions that stand with an action above."""
    action = actions[number - 1]
    above = [
        caution for other in actions for caution in other["cautions"] if caution["rule"] in action["cautions_above"]
    ]
    cited: dict[str, int] = {}
    yield from action_as_text({**action, "cautions": [*above, *action["cautions"]]}, (), cited)
    yield from _sources(cited)


def action_as_text(action: dict[str, Any], told: Sequence[dict[str, Any]], cited: dict[str, int]) -> Iterator[str]:
    """One action with its dose, steps, reasons, effect and cautions, line by line; without what was `told` before.

    Sources stand as numbers, which `cited` holds and grows by.
    """
    head = f"{action['rank']}. {action['title']} - {WHEN[action['urgency']]} ({action['effort']})"
    yield head
    for dose in action["doses"]:
        yield from _wrap("How much: " + _dose(dose), "     ", "   ")
    for step in action["steps"]:
        yield from _wrap(step, "     ", "   - ")
    for reason in action["reasons"][:MOST_REASONS]:
        number = cited.setdefault(reason["source"]["cite"], len(cited) + 1)
        yield from _wrap(f"Because: {reason['text']} [{number}]", "     ", "   ")
    if len(action["reasons"]) > MOST_REASONS:
        yield f"   (and {len(action['reasons']) - MOST_REASONS} more reasons; --json tells them all)"
    for told_of_it in (action["effect"]["text"], action["effect"]["note"] if action["effect"]["text"] else None):
        yield from _wrap(told_of_it, "     ", "   ") if told_of_it else ()
    for caution in action["cautions"]:
        if caution not in told:
            yield from _wrap(f"Take care: {caution['text']}", "     ", "   ")
    yield ""


def _dose(dose: dict[str, Any]) -> str:
    text = f"{_dose_name(dose['of'])} {quantity_in_words(dose)}"
    if dose["split"] > 1:
        text += f", in {dose['split']} parts"
    instead = [f"{_dose_name(other['of'])} {quantity_in_words(other)}" for other in dose["or_instead"]]
    return text + (f"; or instead: {', or '.join(instead)}" if instead else "")


def _dose_name(of: str) -> str:
    if of in DOSE_WORDS:
        return DOSE_WORDS[of]
    return MATERIALS[of].name if of in MATERIALS else of.replace("_", " ")


def _avoid(avoid: list[dict[str, Any]]) -> Iterator[str]:
    if not avoid:
        return
    yield "Do not"
    for item in avoid:
        reasons = " ".join(reason["text"] for reason in item["reasons"])
        yield from _wrap(f"{item['title']}: {reasons}", "     ", "   - ")
    yield ""


def _quantities(title: str, record: dict[str, Any], names: Iterable[tuple[str, str]]) -> Iterator[str]:
    yield title
    for path, name in names:
        value: Any = record
        for key in path.split("."):
            value = value[key]
        yield f"   {name:<32} {quantity_in_words(value)}"
    if record.get("verdict"):
        yield from _wrap(record["verdict"], "   ")
    yield ""


def _assumed(assumed: list[dict[str, Any]]) -> Iterator[str]:
    if not assumed:
        return
    yield "Assumed, since nobody said"
    for item in assumed:
        value = "" if item["unit"] == "1" else f"{quantity_in_words(item)}; "
        yield from _wrap(f"{item['field']}: {value}{item['why']}", "     ", "   - ")
    yield ""


def _ask_next(questions: list[dict[str, Any]]) -> Iterator[str]:
    if not questions:
        return
    yield "What would help most to know"
    for item in questions:
        yield from _wrap(f"{item['question']} ({item['why']})", "     ", "   - ")
    yield ""
