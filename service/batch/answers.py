"""A block of lines answered: every line by itself in the end, whatever was counted together on the way."""

from __future__ import annotations

import logging
from collections.abc import Sequence

import orjson

from rules.catalogue import SOURCE_LANGUAGE, speaking, texts_in
from rules.engine.inference import cautions_beside, infer_plainly
from service.actions.decision import decide_together
from service.answer.advice import AnswerForm, Judgement, advise, answer_for
from service.answer.shapes.advice import Advice
from service.batch.blocks import AnsweredBlock, Block
from service.picture.picture import pictures_of, seen_in
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


def _written(lines: Sequence[tuple[int, bytes]], results: Sequence[Advice | Problem]) -> AnsweredBlock:
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


def advices(statuses: Sequence[Status]) -> list[Advice]:
    """The advice on each heap without what-ifs, as `advise` gives it, with the heat counted together."""
    with speaking(texts_in(SOURCE_LANGUAGE)):
        return [answer_for(each, AnswerForm("none", each.picture.status.units)) for each in judgements(statuses)]


def judgements(statuses: Sequence[Status]) -> list[Judgement]:
    """What is found and decided of each heap without what-ifs, as `judge` does, with the heat counted together.

    The rules are evaluated by the plain check of the engine, which takes one heap at a time and costs more. Raises
    whatever any single one raises.
    """
    if not statuses:
        return []
    pictures = pictures_of([seen_in(status) for status in statuses])
    found = [infer_plainly(picture.derived.facts) for picture in pictures]
    decisions = decide_together(list(zip(pictures, found, strict=True)))
    advised = [[item.action.id for item in decision.ranked] for decision in decisions]
    cautions = [cautions_beside(*pair, plainly=True) for pair in zip(found, advised, strict=True)]
    return list(map(Judgement, pictures, found, decisions, cautions))


def _status_of(line: bytes) -> Status | Problem:
    try:
        return read_status(line)
    except Problem as problem:
        return problem
    except Exception:
        _log.exception("a line could not be read")
        return Problem("internal-error", _FAULT)


def _advised(statuses: list[Status]) -> list[Advice | Problem]:
    """The advice on each; where the block as a whole fails, each by itself, so that one cannot spoil the others."""
    try:
        return [*advices(statuses)]
    except Exception:
        _log.exception("a block of lines could not be counted together")
    return [_advised_alone(status) for status in statuses]


def _advised_alone(status: Status) -> Advice | Problem:
    try:
        return advise(status, "none")
    except Exception:
        _log.exception("a line could not be answered")
        return Problem("internal-error", _FAULT)
