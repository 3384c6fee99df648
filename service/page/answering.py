"""From a posted form to a page: the answer, the form again, or the form with what needs a change."""

from __future__ import annotations

from datetime import timedelta
from typing import Literal

from service.answer.advice import advise
from service.page.faults import faults_of, warning_for
from service.page.filling import filled_from
from service.page.render import answer_page, form_page
from service.page.typed import EDIT, read_typed
from service.page.view import view_of
from service.problems.problem import Problem
from service.status.reading import read_status

Page = Literal["answer", "form"]


def answered(body: bytes) -> tuple[str, int, Page]:
    """The page for a posted form, its HTTP status, and which page it is.

    Raises
    ------
    Problem
        If no browser could have sent it.
    """
    typed = read_typed(body)
    if EDIT in typed:
        page = form_page(typed)
        return page, 200, "form"
    filled = filled_from(typed)
    try:
        status = read_status(filled.body)
    except Problem as problem:
        return form_page(typed, faults_of(problem, filled, typed), warning_for(filled, typed)), 422, "form"
    if filled.faults:
        return form_page(typed, faults_of(None, filled, typed), warning_for(filled, typed)), 422, "form"
    built_on = status.as_of.date() - timedelta(days=round(status.age_days))
    return answer_page(view_of(advise(status), typed, built_on.isoformat()), typed), 200, "answer"
