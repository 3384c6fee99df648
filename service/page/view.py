"""An answer in the words and pieces the page shows. Nothing is added to what the answer says."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from rules.catalogue import said
from rules.language.model import Gravity
from service.actions.rank import FIRE_ACTION
from service.answer.brief import first_sentence
from service.answer.plain_text import Amounts, dose_name, named_quantities
from service.answer.shapes.action import ActionShown, CautionShown, DoseShown
from service.answer.shapes.advice import Advice, LikelyCause
from service.answer.shapes.heat import Effect
from service.answer.words import FIRE_SENTENCE, life_cautions, look_when, when
from service.page.cares import Care, Sources, care_of, cares_for_life, never_in_words
from service.page.chart import Chart, outlook_chart
from service.page.entries import Typed
from service.page.fields import Field
from service.page.form import FIELDS, labels
from service.page.ledger import LedgerBars, ledger_of
from service.page.recap import TypedField, day_and_hour, recap_of
from service.render.numbers import chance_in_words, dose_in_words, quantity_in_words
from service.worth.shape import AskNext

_IN_FORM_ONLY: Final = {"/pile/ingredients": "heap", "/pile/size": "heap", "/draw": "draw"}
"""Questions with more than one part, and the section of the form that asks them."""


@dataclass(frozen=True, slots=True)
class ShownDose:
    """How much: the figure large, the rest beside it."""

    name: str
    figure: str
    rest: str


@dataclass(frozen=True, slots=True)
class Move:
    """One action as it is shown."""

    rank: int
    title: str
    when: str
    effort: str
    doses: tuple[ShownDose, ...]
    steps: tuple[str, ...]
    brings: str
    reasons: tuple[tuple[str, int], ...]
    cautions: tuple[Care, ...]
    cautioned_above: bool


@dataclass(frozen=True, slots=True)
class ShownQuestion:
    """A question that can be answered on the spot (`field`), as two numbers (`history`), or in the form (`section`)."""

    question: str
    why: str
    chance: str
    field: Field | None
    others: tuple[tuple[str, str], ...]
    earlier: bool
    section: str


@dataclass(frozen=True, slots=True)
class View:
    """The whole answer page. A reason is its text and the number of its source."""

    fire: bool
    calls: tuple[str, ...]
    soon: tuple[Care, ...]
    life: tuple[Care, ...]
    heading: str
    lead: str
    never: str
    phase: str
    causes: tuple[str, ...]
    moves: tuple[Move, ...]
    avoid: tuple[tuple[str, tuple[tuple[str, int], ...]], ...]
    sources: tuple[str, ...]
    questions: tuple[ShownQuestion, ...]
    chart: Chart | None
    ledger: LedgerBars
    tonight: tuple[tuple[str, str], ...]
    tonight_verdict: str
    energy: tuple[tuple[str, str], ...]
    energy_verdict: str
    draw_plan: str
    draw_plan_why: str
    assumed: tuple[tuple[str, str, str], ...]
    told: list[TypedField]
    look_at: str
    watch_for: str
    built_on: str
    at: str
    at_exactly: str
    answer_id: str


def view_of(answer: Advice, typed: Typed, as_of: datetime, built_on: str) -> View:
    """The page of an answer to what was typed at `as_of`; `built_on` is the day the heap was built."""
    first = answer["actions"][0]
    fire = first["action"] == FIRE_ACTION
    sources = Sources()
    moves = _moves(answer["actions"], sources)
    avoid = tuple((item["title"], sources.numbered(item["reasons"])) for item in answer["avoid"])
    return View(
        fire=fire,
        calls=tuple(answer["call"]),
        soon=cares_for_life(life_cautions(answer["actions"], soon=True), whole=fire),
        life=cares_for_life(life_cautions(answer["actions"], soon=False)),
        heading=FIRE_SENTENCE if fire else first["title"],
        lead=first_sentence(first["reasons"][0]["text"]) if first["reasons"] else "",
        never=never_in_words(answer["avoid"]),
        phase=said(f"page.phase.{answer['phase']}"),
        causes=_causes(answer["likely_causes"]),
        moves=moves,
        avoid=avoid,
        sources=sources.cited,
        questions=() if fire else tuple(map(_asked, answer["ask_next"])),
        chart=None if fire else outlook_chart(answer["outlook"]),
        ledger=ledger_of(answer["heat_balance"]),
        tonight=_named("tonight", answer["tonight"]),
        tonight_verdict=answer["tonight"]["verdict"],
        energy=_named("energy", answer["energy"]),
        energy_verdict=answer["energy"]["verdict"],
        draw_plan="" if fire or answer["draw_plan"] is None else answer["draw_plan"]["text"],
        draw_plan_why="" if answer["draw_plan"] is None else answer["draw_plan"]["why"],
        assumed=tuple((_label(item["field"]), quantity_in_words(item), item["why"]) for item in answer["assumed"]),
        told=recap_of(typed, answer["read_as"], as_of),
        look_at=look_when(first["action"], answer["look_again"]),
        watch_for=answer["look_again"]["watch_for"],
        built_on=built_on,
        at=day_and_hour(as_of),
        at_exactly=as_of.isoformat(),
        answer_id=answer["id"],
    )


def _moves(actions: list[ActionShown], sources: Sources) -> tuple[Move, ...]:
    """The actions in order; a caution for life stands at the top of the page, and is only pointed to here."""
    moves = []
    for action in actions:
        new = [caution for caution in action["cautions"] if caution["gravity"] != Gravity.LIFE]
        moves.append(
            _move(action, sources, new, above=bool(action["cautions_above"]) or len(new) < len(action["cautions"]))
        )
    return tuple(moves)


def _move(action: ActionShown, sources: Sources, cautions: list[CautionShown], *, above: bool) -> Move:
    return Move(
        rank=action["rank"],
        title=action["title"],
        when=when(action),
        effort=said(f"page.effort.{action['effort']}"),
        doses=tuple(map(_dose, action["doses"])),
        steps=tuple(action["steps"]),
        brings=_brings(action["effect"]),
        reasons=sources.numbered(action["reasons"]),
        cautions=tuple(map(care_of, cautions)),
        cautioned_above=above,
    )


def _dose(dose: DoseShown) -> ShownDose:
    figure, _, spread = dose_in_words(dose).partition(" (")
    rest = [f"({spread}"] if spread else []
    if dose["split"] > 1:
        rest.append(said("page.in-parts", count=str(dose["split"])))
    rest += [
        said("page.or-instead", what=other["of"].replace("_", " "), amount=dose_in_words(other))
        for other in dose["or_instead"]
    ]
    name = dose_name(dose["of"]) or dose["of"].replace("_", " ")
    return ShownDose(name[0].upper() + name[1:], figure, "; ".join(rest))


def _brings(effect: Effect | None) -> str:
    """What an action is expected to gain, in a sentence; empty where it was not worked out."""
    if effect is None or effect["text"] is None:
        return ""
    return f"{effect['text']} {effect['note'] or ''}".rstrip()


def _causes(causes: list[LikelyCause]) -> tuple[str, ...]:
    """What may be behind it, likeliest first, with its share where there are several, and why nothing is done."""
    alone = len(causes) == 1
    return tuple(
        " ".join(
            part
            for part in (
                _cause(found, alone=alone),
                found["no_action"] or "",
            )
            if part
        )
        for found in causes
    )


def _cause(found: LikelyCause, *, alone: bool) -> str:
    cause = said(f"likely.{found['cause']}")
    return cause if alone else said("page.cause", cause=cause, share=chance_in_words(found["share"]))


def _asked(item: AskNext) -> ShownQuestion:
    pointer, chance = item["field"], item["changes_first_action"]
    name = pointer[1:].replace("/", ".")
    return ShownQuestion(
        question=item["question"],
        why=item["why"],
        chance=_chance(chance),
        field=FIELDS.get(name),
        others=(("moisture_feel_at", "arm_deep"),) if name == "moisture_feel" else (),
        earlier=name == "history",
        section=_IN_FORM_ONLY.get(pointer, ""),
    )


def _chance(chance: float | None) -> str:
    """How likely the answer changes what to do first, in words."""
    if chance is None:
        return ""
    if chance < 0.05:
        return said("page.chance-little")
    return said("page.chance", chance=chance_in_words(chance))


def _named(part: str, record: Amounts) -> tuple[tuple[str, str], ...]:
    """Those of the quantities of a part that can be told, by name."""
    named = named_quantities(part, record)
    return tuple((name[0].upper() + name[1:], quantity_in_words(value)) for name, value in named if value)


def _label(pointer: str) -> str:
    """A field's own question, or its pointer in words where the form has none."""
    name = pointer[1:].replace("/", ".")
    return labels().get(name) or name.replace(".", ", ").replace("_", " ")
