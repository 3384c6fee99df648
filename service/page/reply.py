"""From a posted form to a page: the answer, the form again, or the form with what needs a change."""

from __future__ import annotations

from datetime import timedelta
from typing import Literal

from service.answer.advice import advise
from service.page.address import address_of, read_posted
from service.page.body import filled_from, moment_typed
from service.page.entries import AT, EDIT, Typed
from service.page.faults import faults_of, warning_for
from service.page.render import answer_page, form_page
from service.page.view import view_of
from service.problems.problem import Problem
from service.status.reading import read_status

Page = Literal["answer", "form"]


def answered(typed: Typed) -> tuple[str, int, Page]:
    """The page for what was typed, its HTTP status, and which page it is."""
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
    return answer_page(view_of(advise(status), typed, status.as_of, built_on.isoformat()), typed), 200, "answer"


def address_for(body: bytes) -> tuple[str | None, Typed]:
    """The address that holds a posted form and its moment, None where it would be too long; and what was typed.

    Raises
    ------
    Problem
        If no browser could have sent it.
    """
    posted = read_posted(body)
    typed = {**posted, AT: (moment_typed(posted).isoformat(),)}
    return address_of(typed), typed
