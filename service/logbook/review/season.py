"""A season of a pile, put together from its log book."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from datetime import UTC, datetime
from typing import Final

from sqlalchemy import select
from sqlalchemy.orm import Session

from rules.catalogue import said
from rules.tables.next_heap_sentences import NEXT_HEAP
from service.logbook.review.forecasts import TimedCore, told_in, turned_out
from service.logbook.shapes.season_page import SeasonCause, SeasonGave, SeasonPage
from service.logbook.store.damage import Damaged, sound_answer, sound_columns
from service.logbook.store.feedback import pile_counts
from service.logbook.store.models import AdviceRow, PileRow, ReadingRow, WorkRow
from service.logbook.store.piles import local
from service.logbook.store.readings import COLUMNS
from service.problems.json_text import JsonObject
from service.render.shape import Quantity
from service.units.estimate import SECONDS_PER_DAY
from service.units.quantities import System, parse_quantity, to_units

LONGEST_DAYS: Final = 7.0
"""A draw told of in one advice is taken to go on until the next, but no longer than this (our own)."""
OFTEN: Final = 0.25
"""A cause named in this share of the advice is worth a word for the next heap (our own)."""
MOST_ADVICE: Final = 2000


def season_of(session: Session, pile: PileRow, begin: datetime | None, end: datetime) -> SeasonPage:
    """What the pile gave, what it cost, how forecasts and rules did, and what to change in the next heap.

    Parameters
    ----------
    begin, end
        The time looked at; from the first entry where `begin` is None.
    """
    advice = _advice(session, pile, begin, end)
    answers = [answer for row in advice if (answer := _answer(row)) is not None]
    read = _cores(session, pile, begin, end)
    work = Counter(_work(session, pile, begin, end))
    first = min([row.as_of for row in advice] + [at for at, _ in read], default=end)
    causes = _causes(answers)
    return {
        "pile": pile.id,
        "from": local(pile, begin or first).isoformat(),
        "to": local(pile, end).isoformat(),
        "advice": len(advice),
        "readings": len(read),
        "gave": _gave(answers, end, pile.system),
        "cost": [{"action": action, "times": times} for action, times in sorted(work.items())],
        "forecasts": turned_out((told for answer in answers for told in told_in(answer)), read),
        "rules": pile_counts(session, pile.id, begin, end),
        "causes": causes,
        "next_heap": _next_heap(causes, bool(answers)),
    }


def _advice(session: Session, pile: PileRow, begin: datetime | None, end: datetime) -> Sequence[AdviceRow]:
    wanted = select(AdviceRow).where(AdviceRow.pile_id == pile.id, AdviceRow.as_of <= end)
    if begin is not None:
        wanted = wanted.where(AdviceRow.as_of >= begin)
    rows = session.scalars(wanted.order_by(AdviceRow.as_of.desc(), AdviceRow.id.desc()).limit(MOST_ADVICE)).all()
    return list(reversed(rows))


def _answer(row: AdviceRow) -> JsonObject | None:
    """The answer of a row; None where it is damaged, or holds nothing that can be looked back on."""
    try:
        answer = sound_answer(row)[1]
        told_in(answer)
        _drawn(answer, "metric")
        Counter(cause["cause"] for cause in answer["likely_causes"])
    except (Damaged, ValueError, TypeError, KeyError, IndexError, AttributeError):
        return None
    return answer


def _work(session: Session, pile: PileRow, begin: datetime | None, end: datetime) -> list[str]:
    """The action of every piece of work."""
    wanted = select(WorkRow.action).where(WorkRow.pile_id == pile.id, WorkRow.at <= end)
    return list(session.scalars(wanted if begin is None else wanted.where(WorkRow.at >= begin)))


def _cores(session: Session, pile: PileRow, begin: datetime | None, end: datetime) -> list[TimedCore]:
    """Every core that was logged, oldest first."""
    units = pile.system
    wanted = select(*COLUMNS).where(ReadingRow.pile_id == pile.id, ReadingRow.at <= end).order_by(ReadingRow.at)
    found = []
    for row in session.execute(wanted if begin is None else wanted.where(ReadingRow.at >= begin)):
        try:
            entry = sound_columns(row)
            core = entry.part.get("temperatures", {}).get("core")
            if core is not None:
                found.append((entry.at.astimezone(UTC), parse_quantity(core, ("temperature",), units).si))
        except (Damaged, ValueError, TypeError, AttributeError):
            continue
    return found


def _gave(answers: Sequence[JsonObject], end: datetime, units: System) -> SeasonGave:
    """Heat drawn: the draw told in each advice, until the next. Unknown where it was never known."""
    totals, known = [0.0, 0.0, 0.0], 0.0
    begins = [datetime.fromisoformat(answer["as_of"]) for answer in answers]
    for answer, begun, until in zip(answers, begins, [*begins[1:], end], strict=False):
        days = min(max((until - begun).total_seconds() / SECONDS_PER_DAY, 0.0), LONGEST_DAYS)
        drawn = _drawn(answer, units)
        if drawn is None:
            continue
        known += days
        for place, watts in enumerate(drawn):
            totals[place] += max(watts, 0.0) * days * SECONDS_PER_DAY
    shown = [to_units(joules, "energy", units) for joules in totals]
    heat: Quantity | None = (
        {"value": shown[0][0], "low": shown[1][0], "high": shown[2][0], "unit": shown[0][1]} if known else None
    )
    return {"heat": heat, "days_known": round(known, 1)}


def _drawn(answer: JsonObject, units: System) -> list[float] | None:
    """The draw an answer tells: likeliest, low and high [W]; None where it is not known."""
    asked = answer["energy"]["asked"]
    if asked is None:
        return None
    told = [f"{asked[name]} {asked['unit']}" for name in ("value", "low", "high")]
    return [parse_quantity(each, ("power",), units).si for each in told]


def _causes(answers: Iterable[JsonObject]) -> list[SeasonCause]:
    """What was named as likely wrong, by the share of the advice that named it, most often first."""
    listed = list(answers)
    count = Counter(cause["cause"] for answer in listed for cause in answer["likely_causes"])
    return [{"cause": cause, "share": round(times / len(listed), 2)} for cause, times in count.most_common()]


def _next_heap(causes: Sequence[SeasonCause], any_advice: bool) -> list[str]:
    if not any_advice:
        return [said("next-heap.nothing-known")]
    often = (f"next-heap.{each['cause']}" for each in causes if each["share"] >= OFTEN)
    told = [said(text_id) for text_id in often if text_id in NEXT_HEAP]
    return told[:3] or [said("next-heap.nothing-stood-out")]
