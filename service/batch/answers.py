"""A block of lines answered: every line by itself in the end, whatever was counted together on the way."""

from __future__ import annotations

import logging
from collections.abc import Sequence
from typing import Any

import orjson

from rules.catalogue import SOURCE_LANGUAGE, speaking, texts_in
from service.actions.decision import decide_together
from service.answer.advice import AnswerForm, Judgement, advise, answer_for
from service.batch.blocks import AnsweredBlock, Block
from service.batch.heat import accounts_for
from service.batch.inference import Inferences
from service.heat.learning.members import learned
from service.picture.account import put_facts
from service.picture.next_week import CourseRequest, quick_courses
from service.picture.picture import completed, seen_in
from service.picture.record import Picture, Seen
from service.problems.fire import fire_warning
from service.problems.problem import Problem
from service.status.models import Status
from service.status.reading import read_status

_log = logging.getLogger(__name__)
_FAULT = "Something failed here; try again later."


def answer_block(block: Block) -> AnsweredBlock:
    """The answers to a block, a line each and in order.

    Blank lines are counted and not answered. A line that cannot be answered gets its problem.
    """
    lines = _lines_of(block)
    read = [_status_of(line) for _, line in lines]
    found = iter(_advised([status for status in read if isinstance(status, Status)]))
    results = [next(found) if isinstance(status, Status) else status for status in read]
    return _written(lines, results)


def refuse_block(block: Block, problem: Problem) -> AnsweredBlock:
    """The same problem for every line of a block that could not be worked on."""
    lines = _lines_of(block)
    return _written(lines, [problem] * len(lines))


def _lines_of(block: Block) -> list[tuple[int, bytes]]:
    """The lines that are not blank, with their numbers."""
    return [(number, line) for number, line in enumerate(block.data.split(b"\n"), block.first) if line.strip()]


def _written(lines: Sequence[tuple[int, bytes]], results: Sequence[dict[str, Any] | Problem]) -> AnsweredBlock:
    written, problems = [], 0
    for (number, line), result in zip(lines, results, strict=True):
        if isinstance(result, Problem):
            problems += 1
            written.append(problem_line(number, result.warned(fire_warning(line))))
        else:
            written.append(orjson.dumps({"line": number, "advice": result}) + b"\n")
    return AnsweredBlock(len(lines), problems, b"".join(written))


def problem_line(number: int, problem: Problem) -> bytes:
    """A problem as the answer to one line."""
    return orjson.dumps({"line": number, "problem": problem.as_dict()}) + b"\n"


def advices(statuses: Sequence[Status]) -> list[dict[str, Any]]:
    """The advice on each heap without what-ifs, as `advise` gives it, with heat and rules counted together.

    Raises whatever any single one raises.
    """
    if not statuses:
        return []
    with speaking(texts_in(SOURCE_LANGUAGE)):
        pictures = _pictures([seen_in(status) for status in statuses])
        inferences = Inferences([picture.derived.facts for picture in pictures])
        decisions = decide_together(list(zip(pictures, inferences.of_each, strict=True)))
        cautions = inferences.cautions_beside([[item.action.id for item in each.ranked] for each in decisions])
        judgements = map(Judgement, pictures, inferences.of_each, decisions, cautions)
        return [answer_for(each, AnswerForm("none", each.picture.status.units)) for each in judgements]


def _pictures(heaps: Sequence[Seen]) -> list[Picture]:
    accounts = accounts_for(heaps)
    ways = []
    for seen, account in zip(heaps, accounts, strict=True):
        put_facts(account, seen.derived)
        ways.append(CourseRequest(learned(seen.estimate), account.core_ahead_c, seen.goal.keep_core_above_c))
    return [
        completed(seen, account, way.heap, course)
        for seen, account, way, course in zip(heaps, accounts, ways, quick_courses(ways), strict=True)
    ]


def _status_of(line: bytes) -> Status | Problem:
    try:
        return read_status(line)
    except Problem as problem:
        return problem
    except Exception:
        _log.exception("a line could not be read")
        return Problem("internal-error", _FAULT)


def _advised(statuses: list[Status]) -> list[dict[str, Any] | Problem]:
    """The advice on each; where the block as a whole fails, each by itself, so that one cannot spoil the others."""
    try:
        return [*advices(statuses)]
    except Exception:
        _log.exception("a block of lines could not be counted together")
    return [_advised_alone(status) for status in statuses]


def _advised_alone(status: Status) -> dict[str, Any] | Problem:
    try:
        return advise(status, "none")
    except Exception:
        _log.exception("a line could not be answered")
        return Problem("internal-error", _FAULT)
