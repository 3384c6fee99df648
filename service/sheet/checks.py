"""What to look at on days 1, 3, 7 and 14: the warmth to expect, from the model's own heaps, and what to do if not."""

from __future__ import annotations

from typing import Final

from rules.catalogue import said
from rules.tables.thresholds import FIRE_LOOK_DAILY, HOT_FROM
from service.answer.quantities import measured, round_off
from service.planning.shapes.sheet_answer import CheckShown
from service.render.wording import in_words
from service.sheet.heap import Sheet
from service.units.estimate import Estimate

DAYS: Final = (1, 3, 7, 14)


def checks(sheet: Sheet) -> list[CheckShown]:
    """One entry a day."""
    system = sheet.system
    found: list[CheckShown] = []
    for day in DAYS:
        warm, share = sheet.plan.warming_c[day], sheet.plan.hot_by[day]
        core = Estimate(float(round(warm.value)), float(round(warm.low)), float(round(warm.high)), warm.basis)
        ends = {name: in_words(getattr(core, name), "degC", system) for name in ("value", "low", "high")}
        quoted = {
            **ends,
            "share": in_words(float(round(100 * share)), "%", system),
            "hot": in_words(HOT_FROM.value, "degC", system),
            "daily": in_words(FIRE_LOOK_DAILY.value, "degC", system),
        }
        found.append(
            CheckShown(
                day=day,
                core=measured(core, "temperature", system),
                hot_by_then=round_off(100 * share),
                expect=said("sheet.check.expect", **quoted),
                look=said(f"sheet.check.look.{day}"),
                if_not=" ".join(said(f"sheet.check.{name}", **quoted) for name in (f"if-not.{day}", "too-hot")),
            )
        )
    return found
