"""What to look at on days 1, 3, 7 and 14: the warmth to expect, from the model's own heaps, and what to do if not."""

from __future__ import annotations

from typing import Any, Final

from rules.tables.thresholds import FIRE_LOOK_DAILY, HOT_FROM
from service.answer.quantities import round_off
from service.planning.ranges import shown
from service.render.wording import in_words
from service.sheet.heap import Sheet

DAYS: Final = (1, 3, 7, 14)
EXPECT: Final = "Core about {value}, 8 in 10 heaps from {low} to {high}; {share} have been at {hot} or more by then."
LOOK: Final[dict[int, str]] = {
    1: "Read A, B and C. See that the cover lies well, that no tube or duct shows, and that no water runs out below.",
    3: "Read A, B and C. Smell at the vent: earthy is well.",
    7: "Read A, B and C. Press a handful from an arm's depth: it should feel like a wrung-out rag.",
    14: "Read A, B and C. See how far it has sunk, and whether tube and duct have sunk along.",
}
IF_NOT: Final[dict[int, str]] = {
    1: "Cooler is no failure on the first day. Leave it shut.",
    3: "Under {low}: no failure yet; cold or half-frozen stuff takes longer. A smell of rot means too wet or too "
    "packed: open holes with a bar. A smell of ammonia means too much nitrogen: cover it with more chips.",
    7: "Under {low}: dusty in the hand, water it at midday through holes; dripping, let it drain and lay on dry chips; "
    "neither, give the second half of the feed early if you feed it, and wait a week.",
    14: "Under {low}: it is slow. Go through hand, nose and feed again, and put the first draw off until the core is "
    "at {hot}. If it is no warmer than on day 7 either: loosen it and lay it anew with richer stuff.",
}
TOO_HOT: Final = "{daily} or more on any day: look daily and open the vent."


def checks(sheet: Sheet) -> list[dict[str, Any]]:
    """One entry a day."""
    system, found = sheet.system, []
    for day in DAYS:
        core, share = sheet.plan.warming_c[day], sheet.plan.hot_by[day]
        ends = {name: in_words(float(round(getattr(core, name))), "degC", system) for name in ("value", "low", "high")}
        quoted = {
            **ends,
            "share": in_words(float(round(100 * share)), "%", system),
            "hot": in_words(HOT_FROM.value, "degC", system),
            "daily": in_words(FIRE_LOOK_DAILY.value, "degC", system),
        }
        found.append(
            {
                "day": day,
                "core": shown(core, "temperature", system),
                "hot_by_then": round_off(100 * share),
                "expect": EXPECT.format_map(quoted),
                "look": LOOK[day],
                "if_not": f"{IF_NOT[day].format_map(quoted)} {TOO_HOT.format_map(quoted)}",
            }
        )
    return found
