"""What each tool answers: a text that is complete by itself, and the same in short as data."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from rules import RULES
from rules.actions.records import ACTIONS
from rules.catalogue import said
from rules.tables.materials import MATERIALS, find_material
from service.answer.advice import advise
from service.answer.plain_text import action_by_itself, advice_as_text, brief_as_text, problem_as_text
from service.answer.shapes.action import ActionShown, DoseShown
from service.mix.answer import answer_mix
from service.mix.shapes.question import MixRequest
from service.problems.json_text import JsonObject
from service.problems.problem import Problem, cut
from service.render.numbers import quantity_in_words
from service.status.names import did_you_mean, material_meant
from service.status.reading import read_model, read_status
from service.talk.tools.results import (
    ToolAction,
    ToolAdvice,
    ToolDose,
    ToolMix,
    ToolNumber,
    ToolPage,
    ToolPart,
    ToolQuestion,
)
from service.why.knowledge import material_page, rule_page
from service.why.material_pages import MaterialPage
from service.why.rule_pages import RulePage

Arguments = Mapping[str, Any]
_NUMBERS: Final = frozenset(
    {"c_to_n", "c_to_n_total", "moisture", "free_air_space", "soft_matter", "bulk_density", "expected_peak"}
)
"""What is told of a mix; each has its name in the catalogue."""


ToolResult = ToolAdvice | ToolAction | ToolQuestion | ToolMix | ToolPage


@dataclass(frozen=True, slots=True)
class ToolAnswer:
    """A tool's answer. `data` keeps to the tool's output schema; an answer that is `failed` has none.

    `text` is what to say first, `more` all the rest, as a text of its own behind it.
    """

    text: str
    data: ToolResult | None
    failed: bool = False
    more: str = ""


def refusal_answer(problem: Problem, example: str) -> ToolAnswer:
    """A problem in words a model can act on: the field, the value as read, what is allowed, and one good example."""
    return ToolAnswer(f"{problem_as_text(problem)}\n{said('tool.example', example=example)}", None, failed=True)


def advise_tool(arguments: Arguments) -> ToolAnswer:
    """The ranked actions for a status."""
    answer = advise(read_status(_status_in(arguments)))
    data: ToolAdvice = {
        "headline": answer["headline"],
        "say": answer["say"],
        "phase": answer["phase"],
        "actions": [action_in_short(action) for action in answer["actions"]],
        "avoid": [
            {"action": item["action"], "reasons": [reason["text"] for reason in item["reasons"]]}
            for item in answer["avoid"]
        ],
        "ask_next": [
            {"question": item["question"], "field": item["field"], "why": item["why"]} for item in answer["ask_next"]
        ],
        "assumed": [f"{item['field']}: {item['why']}" for item in answer["assumed"]],
        "look_again": answer["look_again"],
    }
    return ToolAnswer(brief_as_text(answer), data, more=advice_as_text(answer))


def explanation(arguments: Arguments) -> ToolAnswer:
    """One action of the advice for a status, with its reasons, steps, doses and cautions."""
    actions = advise(read_status(_status_in(arguments)))["actions"]
    wanted = str(arguments.get("action", 1))
    found = next((item for item in actions if wanted in (item["action"], str(item["rank"]))), None)
    if found is None:
        there = "; ".join(f"{item['rank']} {item['action']}" for item in actions)
        text_id = "tool.not-advised" if wanted in ACTIONS else "tool.no-such-action"
        return ToolAnswer(said(text_id, action=cut(wanted), there=there), None, failed=True)
    lines = action_by_itself(actions, actions.index(found) + 1)
    return ToolAnswer("\n".join(line for line in lines if line), action_in_short(found))


def action_in_short(action: ActionShown) -> ToolAction:
    """One action with what is needed to do it and to say why."""
    return {
        "rank": action["rank"],
        "action": action["action"],
        "title": action["title"],
        "urgency": action["urgency"],
        "steps": action["steps"],
        "doses": [_dose(dose) for dose in action["doses"]],
        "reasons": [
            {"rule": reason["rule"], "text": reason["text"], "source": reason["source"]["cite"]}
            for reason in action["reasons"]
        ],
        "cautions": [caution["text"] for caution in action["cautions"]],
    }


def _dose(dose: DoseShown) -> ToolDose:
    return {
        "of": dose["of"],
        "value": dose["value"],
        "low": dose["low"],
        "high": dose["high"],
        "unit": dose["unit"],
        "per": dose["per"],
        "split": dose["split"],
    }


def mix(arguments: Arguments) -> ToolAnswer:
    """A recipe judged, or amounts of what is on hand proposed."""
    answer = answer_mix(read_model(dict(arguments), MixRequest, "A question about a mix")).model_dump()
    proposal = answer["proposal"]
    judged = answer["recipe"] or (proposal and proposal["result"])
    numbers: list[ToolNumber] = [
        {"name": name, "value": number["value"], "verdict": number["verdict"], "text": number["text"]}
        for name, number in (judged["numbers"] if judged else {}).items()
        if name in _NUMBERS
    ]
    added: list[ToolPart] = [
        {"material": part["material"], "amount": part["text"]} for part in (proposal["add"] if proposal else [])
    ]
    lines = [
        answer["headline"],
        *(said("tool.take", amount=part["amount"], what=_named(part["material"])) for part in added),
    ]
    lines += [
        f"- {said('tool.number.' + number['name'])}: {_shown(number['value'])}. {number['text']}" for number in numbers
    ]
    possible = proposal["possible"] if proposal else None
    told: ToolMix = {"headline": answer["headline"], "numbers": numbers, "possible": possible, "add": added}
    return ToolAnswer("\n".join(lines), told)


def _shown(quantity: Any) -> str:
    return quantity_in_words(quantity).replace("  ", " ")


def _named(material: str) -> str:
    return material.replace("_", " ")


def page(arguments: Arguments) -> ToolAnswer:
    """One rule or material whole, or the ids of all."""
    kind, id_ = str(arguments.get("kind")), arguments.get("id")
    known: dict[str, Callable[[str], RulePage | MaterialPage]] = {"rule": rule_page, "material": material_page}
    if kind not in known:
        detail = 'kind is "rule" or "material".'
        raise Problem("invalid-request", detail, [{"pointer": "/kind", "detail": detail}])
    ids = sorted(RULES if kind == "rule" else MATERIALS)
    if id_ is None:
        listed: ToolPage = {"kind": kind, "id": None, "ids": ids, "page": None}
        return ToolAnswer("\n".join(ids), listed)
    found = id_ if id_ in ids else find_material(str(id_)) if kind == "material" else None
    if found is None:
        near = material_meant(str(id_)) if kind == "material" else did_you_mean(str(id_), ids)
        return ToolAnswer(said(f"tool.no-such-id.{kind}", near=near), None, failed=True)
    told = known[kind](found)
    whole: ToolPage = {"kind": kind, "id": found, "ids": [], "page": told}
    return ToolAnswer(_page_as_text(kind, told), whole)


def _page_as_text(kind: str, told: Mapping[str, Any]) -> str:
    if kind == "rule":
        limits = [
            f"- {limit['id']}: {limit['value']:g} {limit['unit']}. {limit['meaning']} [{limit['source']['cite']}]"
            for limit in told["thresholds"]
        ]
        gives = " ".join(str(value) for value in told["gives"].values())
        head = [
            said("tool.rule.gives", id=told["id"], gives=gives),
            said("tool.rule.when", when=told["when"]),
            said("tool.rule.reason", reason=told["reason"]),
        ]
        source = said("tool.rule.source", cite=told["source"]["cite"], how_known=told["source"]["how_known"])
        return "\n".join([*head, *limits, source])
    figures = [
        f"- {name.replace('_', ' ')}: {_shown(figure)} [{figure['source']['cite']}]"
        for name, figure in told.items()
        if isinstance(figure, dict) and "low" in figure
    ]
    cautions = [said("tool.material.caution", caution=caution["text"]) for caution in told["cautions"]]
    also = ", ".join(told["synonyms"])
    names = said("tool.material.names", name=told["name"], id=told["id"], also=also)
    return "\n".join([names, told["remark"], *figures, *cautions])


def _status_in(arguments: Arguments) -> JsonObject:
    status = arguments.get("status")
    if not isinstance(status, dict):
        detail = "status, an object, is needed."
        raise Problem("invalid-request", detail, [{"pointer": "/status", "detail": detail}])
    return status
