"""`warmheap log`: readings and work of a pile, told on the command line or in a file, and the log by time."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from service import logbook
from service.cli import screen
from service.cli.common import account_of, add_options, open_store, pile_named

if TYPE_CHECKING:
    from datetime import datetime

    from service.logbook.entries import Logged
    from service.problems.json_text import JsonObject
    from service.units.quantities import System

_LARGEST_FILE = 256 * 1024


def add(commands: Any) -> None:
    """Add the command."""
    parser = commands.add_parser(
        "log",
        help="log readings and work of a pile, or show its log",
        epilog='Example: warmheap log "North heap" core="121 degF" smell=earthy signs="steam slumping"',
    )
    parser.add_argument("pile", metavar="PILE", help="name or id of the pile")
    parser.add_argument(
        "values",
        nargs="*",
        metavar="FIELD=VALUE",
        help="what was read: core, outer, outdoor, smell, moisture_feel, signs …, or any field of a status with dots, "
        'such as pile.size.volume="22 yd3"; nothing shows the log',
    )
    parser.add_argument("--at", metavar="TIME", help="when, with its offset (default: now)")
    parser.add_argument("--done", metavar="ACTION", help="log an action as done, such as add_water")
    parser.add_argument("--amount", metavar="QUANTITY", help='how much was done, such as "60 gal"')
    parser.add_argument("--file", type=Path, metavar="FILE", help="log a file: .csv, .senml or .json")
    parser.add_argument("--limit", type=int, default=20, help="how many entries to show (default: 20)")
    parser.add_argument("--json", action="store_true", help="show the log as JSON")
    add_options(parser, _log)


def _log(options: argparse.Namespace) -> int:
    if not (options.values or options.done or options.file):
        return _show(options)
    now, account = logbook.book.now_utc(), account_of(open_store(), options.account)
    with open_store().writing() as session:
        pile = logbook.store.piles.pile_of(
            session, account, pile_named(session, account, options.pile).id, to_change=True
        )
        units = pile.system
        logged, source = _given(options, units, logbook.store.piles.local(pile, now))
        added = logbook.store.readings.add(session, pile, logged, source, now)
    _tell_fire(logged)
    readings, work = len(added.readings), len(added.work)
    print(screen.words("logged", readings=readings, work=work, twins=added.twins))
    return 0


def _given(options: argparse.Namespace, units: System, now: datetime) -> tuple[Logged, str]:
    if options.file is not None:
        return _from_file(options.file, units, now)
    entry: JsonObject = {"at": options.at or now.isoformat()}
    for told in options.values:
        _put(entry, told)
    if options.done is not None:
        entry["done"] = [{"at": entry["at"], "action": options.done, "amount": options.amount}]
    return logbook.entries.read_entries(entry, units, now), "json"


def _from_file(file: Path, units: System, now: datetime) -> tuple[Logged, str]:
    with file.open("rb") as stream:
        body = stream.read(_LARGEST_FILE + 1)
    if file.suffix == ".csv":
        return logbook.formats.csv_readings.read_csv(body, now), "csv"
    if file.suffix == ".senml":
        return logbook.formats.senml.read_senml(body, now), "senml"
    return logbook.entries.read_entries(body, units, now), "json"


def _put(entry: JsonObject, told: str) -> None:
    """Put one FIELD=VALUE into an entry; a value that is JSON is taken as such, everything else as text."""
    from service.problems.problem import Problem

    name, equals, text = told.partition("=")
    if not equals:
        raise Problem("invalid-request", f"{name}: write FIELD=VALUE, such as core=121.")
    column = logbook.formats.columns.COLUMNS.get(name)
    if column is not None and column.kind == "words":
        value: Any = [] if text == "none" else text.split()
    elif column is not None and column.kind == "word":
        value = text
    else:
        value = _json_or_text(text)
    fields = name.split(".") if column is None else column.field.split("/")[1:]
    for part in fields[:-1]:
        entry = entry.setdefault(part, {})
        if not isinstance(entry, dict):
            raise Problem("invalid-request", f"{name} lies inside a single value.")
    entry[fields[-1]] = value


def _json_or_text(text: str) -> Any:
    try:
        return json.loads(text)
    except ValueError:
        return text


def _tell_fire(logged: Logged) -> None:
    from service.problems.fire import fire_warning

    warning = fire_warning([entry.part for entry in logged.readings])
    if warning is not None:
        print(warning, file=sys.stderr)


def _show(options: argparse.Namespace) -> int:
    account = account_of(open_store(), options.account)
    with open_store().reading() as session:
        page = logbook.store.timeline.log_of(
            session,
            pile_named(session, account, options.pile),
            logbook.store.timeline.KINDS,
            max(options.limit, 1),
            None,
        )
    if options.json:
        print(json.dumps(page, indent=2))
        return 0
    for entry in reversed(page["entries"]):
        print(f"{entry['at'][:16].replace('T', ' ')}  {_line(entry)}")
    return 0


def _line(entry: JsonObject) -> str:
    if "damaged" in entry:
        told = screen.words("damaged", why=entry["damaged"], id=entry["id"], warning=entry.get("warning") or "")
    elif entry["kind"] == "reading":
        told = _spread(entry["part"])
    elif entry["kind"] == "work":
        told = f"{entry['action']} {entry['amount'] or ''}"
    elif entry["kind"] == "advice":
        told = f"{entry['headline']} [{entry['id']}]"
    else:
        told = f"{entry['action']} {entry['verdict']} {entry['outcome'] or entry['reason'] or ''}"
    return f"{entry['kind']:<10}{told}".rstrip()


def _spread(part: JsonObject, place: str = "") -> str:
    words = []
    for name, value in part.items():
        if isinstance(value, dict):
            words.append(_spread(value, f"{place}{name}."))
        else:
            words.append(f"{place}{name}={value if isinstance(value, str) else json.dumps(value)}")
    return ", ".join(words)
