"""`warmheap outlook`: the days ahead of one status, as text, JSON, a table or a chart."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Any

from service.cli import screen

if TYPE_CHECKING:
    from service.course.outlook import CourseAhead
    from service.outlook.shape import CourseShown, OutlookAnswer

SHOWN_DAYS = (0, 1, 2, 3, 5, 7, 10, 14, 21, 30, 45, 60, 75, 90)


def add(commands: Any, read: Callable[[str], bytes]) -> None:
    """Add the command to the subparsers of `warmheap`; `read` gives the bytes of a named file."""
    parser = commands.add_parser("outlook", help="look up to 90 days ahead of one status")
    parser.add_argument("file", metavar="FILE", help="a status as JSON; - reads standard input")
    parser.add_argument("--days", metavar="N", help="how many days, 1 to 90 (default: to the goal's date, or 30)")
    parser.add_argument("--keep-core-above", metavar="TEMPERATURE", help='limit for the core, such as "104 degF"')
    parser.add_argument("--units", choices=["us", "metric"], help="answer in these units; bare numbers keep the file's")
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_const", dest="form", const="json", help="print the whole answer as JSON")
    form.add_argument("--csv", action="store_const", dest="form", const="csv", help="print a table, one row a day")
    form.add_argument("--svg", action="store_const", dest="form", const="svg", help="print a chart")
    parser.set_defaults(run=lambda options: _run(options, read))


def _run(options: argparse.Namespace, read: Callable[[str], bytes]) -> int:
    from service.api.outlook import days_from, with_limit
    from service.outlook.answer import outlook_of
    from service.status.reading import read_status

    days = None if options.days is None else days_from(options.days)
    status = read_status(read(options.file))
    if options.keep_core_above is not None:
        status = with_limit(status, options.keep_core_above)
    text = _written(outlook_of(status, days), options)
    if options.form is None:
        screen.say(text.rstrip("\n"))
    else:
        screen.put(text.encode())
    return 0


def _written(outlook: CourseAhead, options: argparse.Namespace) -> str:
    if options.form == "csv":
        from service.outlook.table import outlook_as_csv

        return outlook_as_csv(outlook, options.units)
    if options.form == "svg":
        from service.outlook.chart import outlook_as_svg

        return outlook_as_svg(outlook, options.units) + "\n"
    from pydantic_core import to_json

    from service.outlook.answer import outlook_shown

    shown = outlook_shown(outlook, options.units)
    return to_json(shown, indent=2).decode() + "\n" if options.form == "json" else "\n".join(_lines(shown)) + "\n"


def _lines(shown: OutlookAnswer) -> Iterator[str]:
    """What is said, then the core and the air on a few days."""
    if shown["warning"]:
        yield str(shown["warning"])
        yield ""
    yield shown["title"]
    yield ""
    yield str(shown["description"])
    yield ""
    yield _heads(shown["core"]["unit"], shown["outdoor"]["unit"])
    for day in [day for day in SHOWN_DAYS if day < shown["days"]] + [shown["days"]]:
        core, air = (_cell(course, day) for course in (shown["core"], shown["outdoor"]))
        yield f"{day:>4}  {shown['at'][day][:10]}  {core:<24}  {air}"


def _heads(core_unit: str, air_unit: str) -> str:
    """The first line of the table."""
    day, date = screen.words("head.day"), screen.words("head.date")
    core, air = screen.words("head.core", unit=core_unit), screen.words("head.air", unit=air_unit)
    return f"{day:>4}  {date:<10}  {core:<24}  {air}"


def _cell(course: CourseShown, day: int) -> str:
    low, median, high = (end[day] for end in (course["low"], course["median"], course["high"]))
    return f"{median:.0f} ({low:.0f} to {high:.0f})"
