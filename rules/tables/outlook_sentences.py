"""The fixed sentences of the outlook and the labels of its chart, with fields in braces that are filled in."""

from __future__ import annotations

from typing import Final

OUTLOOK: Final[dict[str, str]] = {
    "outlook.title": "Core of the heap over the next {days}",
    "outlook.now": "If nothing is changed, the core goes on from about {core} today.",
    "outlook.in": "In {days} it is about {middle}; eight times in ten it is from {low} to {high}.",
    "outlook.never-warm": "The core is not likely to reach {limit} within these days.",
    "outlook.warm-in": "The core is likely to reach {limit} in about {days}, {day} ({low} to {high}).",
    "outlook.cool-in": "The core is likely to be below {limit} in about {days}, {day} ({low} to {high}).",
    "outlook.probably-warm": "The core will probably stay above {limit}; the chance that it does not is {chance}.",
    "outlook.stays-warm": "The core is expected to stay above {limit}.",
    "outlook.or-later": "{day} or later",
    "outlook.rest-warm-in": "With nothing drawn it would reach {limit} in about {days}, {day} ({low} to {high}).",
    "outlook.rest-stays-warm": "With nothing drawn it would probably stay above.",
    "outlook.rest-cool-in": "With nothing drawn that would take about {days}.",
    "outlook.no-draw": "Nothing can be drawn to the last of these days with the core above {limit}.",
    "outlook.perhaps-draw": "Probably nothing can be drawn to the last of these days with the core above {limit}; with "
    "luck {best}.",
    "outlook.draw": "About {power} can be drawn around the clock with the core above {limit} to the last day "
    "({low} to {high}).",
    "outlook.timer": "That is {timers}.",
    "outlook.or": ", or ",
    "outlook.pump": "the pump",
    "outlook.fan": "the fan",
    "outlook.each-hour": "{what} for {minutes} minutes in each hour",
    "outlook.every-hours": "{what} for {minutes} minutes every {hours} hours",
    "outlook.hours-a-day": ", {hours} hours a day",
    "outlook.too-short": "less than {what} can be set to",
    "outlook.rest-first": "Leave this heap at rest before a new one is thought of.",
    "outlook.begin-for-warmth": "A new heap would have to be begun now to have warmth soon.",
    "outlook.no-new-heap": "No new heap need be begun within these days.",
    "outlook.begin-now": "To have no gap, begin the next heap now.",
    "outlook.begin": "To have no gap, begin the next heap about {day}; to be on the safe side, {early}.",
    "outlook.now-word": "now",
    "outlook.overheating": "The heap is overheating: see to that first, as `POST /advice` says. The heat model knows "
    "no fire, so this outlook may not hold.",
    "outlook.day-and-month": "{day} {month}",
    **{
        f"outlook.month.{number}": name
        for number, name in enumerate(
            (
                *("January", "February", "March", "April", "May", "June"),
                *("July", "August", "September", "October", "November", "December"),
            ),
            start=1,
        )
    },
    **{
        f"outlook.month-short.{number}": name
        for number, name in enumerate(
            ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"), start=1
        )
    },
    "outlook.chart.core": "core, {unit}",
    "outlook.chart.today": "today",
    "outlook.chart.days-ahead": "days ahead",
    "outlook.chart.limit": "limit {limit}",
    "outlook.chart.too-cool": "too cool from about {day}",
    "outlook.chart.likely": "likely core if nothing is changed",
    "outlook.chart.band": "8 times in 10 it is in here",
    "outlook.chart.below": "too cool to draw below this",
}
