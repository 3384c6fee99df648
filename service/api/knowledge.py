"""`GET /rules`, `GET /materials` and `GET /words`: the knowledge with its sources."""

from __future__ import annotations

from collections.abc import Callable, Collection
from typing import Annotated, Final, TypeVar

from fastapi import APIRouter, Path, Request

from rules import RULES
from rules.tables.materials import MATERIALS
from service.api.log_book import feedback_on
from service.http.description import answer, problems
from service.problems.problem import Problem
from service.status.names import did_you_mean, material_meant
from service.why.knowledge import material_page, materials_index, rule_page, rules_index, words_index
from service.why.material_pages import MaterialPage, MaterialsIndex, WordsIndex
from service.why.rule_pages import RulePage, RulesIndex

_Page = TypeVar("_Page")
router: Final = APIRouter(tags=["knowledge"])


@router.get(
    "/rules",
    operation_id="list_rules",
    summary="Every rule in one line",
    response_model=None,
    responses={**answer("RulesIndex", "Every rule in one line."), **problems()},
)
async def list_rules() -> RulesIndex:
    """All rules, by id."""
    return rules_index()


@router.get(
    "/rules/{id}",
    operation_id="get_rule",
    summary="One rule: condition, thresholds, reason and source",
    response_model=None,
    responses={**answer("RulePage", "The rule."), **problems("not-found")},
)
async def get_rule(
    request: Request, id: Annotated[str, Path(description="Rule id.", examples=["moisture.too-dry"])]
) -> RulePage:
    """One rule whole, with what became of its advice on the piles of whoever asks."""
    return {**_page(rule_page, id, RULES, "rule"), "feedback": await feedback_on(request, id)}


@router.get(
    "/materials",
    operation_id="list_materials",
    summary="Every material in one line",
    response_model=None,
    responses={**answer("MaterialsIndex", "Every material in one line."), **problems()},
)
async def list_materials() -> MaterialsIndex:
    """All materials."""
    return materials_index()


@router.get(
    "/materials/{id}",
    operation_id="get_material",
    summary="One material: its figures with ranges and sources",
    response_model=None,
    responses={**answer("MaterialPage", "The material."), **problems("not-found")},
)
async def get_material(id: Annotated[str, Path(description="Material id.", examples=["urea"])]) -> MaterialPage:
    """One material whole."""
    return _page(material_page, id, MATERIALS, "material")


@router.get(
    "/words",
    operation_id="list_words",
    summary="What a grower may smell, see, feel and have: every word that is read, and what it tells",
    response_model=None,
    responses={**answer("WordsIndex", "Every word."), **problems()},
)
async def list_words() -> WordsIndex:
    """All words of smells, signs and what people feel, and the supplies that may be on hand."""
    return words_index()


def _page(page: Callable[[str], _Page], id_: str, known: Collection[str], what: str) -> _Page:
    if id_ not in known:
        raise Problem(
            "not-found",
            f"There is no {what} of this id.{material_meant(id_) if what == 'material' else did_you_mean(id_, known)}",
        )
    return page(id_)
