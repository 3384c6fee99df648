"""`warmheap piles`: entered, listed, shown, advised on, taken out and brought in, deleted."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from service import logbook
from service.cli import screen
from service.cli.common import account_of, add_options, open_store, pile_named, print_table, say_short

if TYPE_CHECKING:
    from service.logbook.shapes.known_value import KnownValue


def add(commands: Any) -> None:
    """Add the command."""
    parser = commands.add_parser("piles", help="keep piles with their logs; alone, list them")
    add_options(parser, _list)
    actions = parser.add_subparsers(metavar="ACTION")
    new = actions.add_parser("add", help="enter a pile")
    new.add_argument("name", metavar="NAME")
    new.add_argument("--units", choices=["us", "metric"], default="metric", help="units of its answers")
    new.add_argument("--zone", default="UTC", metavar="ZONE", help="its time zone, such as Europe/Berlin")
    add_options(new, _add)
    for name, run, one in (
        ("show", _show, actions.add_parser("show", help="show what is known of a pile and how old it is")),
        ("advice", _advice, actions.add_parser("advice", help="advise on a pile from its log, and keep the advice")),
        ("export", _export, actions.add_parser("export", help="write all of a pile to standard output or a file")),
        ("delete", _delete, actions.add_parser("delete", help="delete a pile and all that was logged of it")),
    ):
        one.add_argument("pile", metavar="PILE", help="name or id of the pile")
        _more_options(name, one)
        add_options(one, run)
    bring = actions.add_parser("import", help="bring in a pile from a file made by export")
    bring.add_argument("file", type=Path, metavar="FILE", help=".json or .csv")
    add_options(bring, _import)
    counts = actions.add_parser("counts", help="show what became of advice, by rule")
    counts.add_argument("--json", action="store_true", help="print it as JSON")
    add_options(counts, _counts)


def _more_options(name: str, parser: argparse.ArgumentParser) -> None:
    if name in ("show", "advice"):
        parser.add_argument("--json", action="store_true", help="print it as JSON")
    if name == "advice":
        parser.add_argument("--all", action="store_true", help="print everything: steps, reasons, sources, figures")
    if name == "export":
        parser.add_argument("--format", choices=["json", "csv"], default="json", help="kind of file (default: json)")
        parser.add_argument("--output", type=Path, metavar="FILE", help="file to write; it must not exist")
    if name == "delete":
        parser.add_argument("--yes", action="store_true", help="delete it for good")


def _list(options: argparse.Namespace) -> int:
    account = account_of(open_store(), options.account)
    with open_store().reading() as session:
        shown = [
            logbook.store.piles.pile_shown(session, pile) for pile in logbook.store.piles.piles_of(session, account)
        ]
    rows = [(p["id"], p["name"], p["readings"], p["work"], p["advice"], p["newest_reading_at"]) for p in shown]
    print_table(rows, ("id", "name", "readings", "work", "advice", "newest reading"))
    return 0


def _add(options: argparse.Namespace) -> int:
    from service.status.reading import validated

    told = {"name": options.name, "units": options.units, "zone": options.zone}
    given = validated(told, logbook.shapes.requests.NewPileBody, "invalid-request")
    account = account_of(open_store(), options.account)
    with open_store().writing() as session:
        pile = logbook.store.piles.add_pile(
            session, account, logbook.store.piles.NewPile(given.name, given.units, given.zone), logbook.book.now_utc()
        )
    print(pile.id)
    return 0


def _id_of(options: argparse.Namespace) -> tuple[str, str]:
    """Account and pile ids of the pile that was named."""
    account = account_of(open_store(), options.account)
    with open_store().reading() as session:
        return account, pile_named(session, account, options.pile).id


def _show(options: argparse.Namespace) -> int:
    account, pile = _id_of(options)
    merged, moment, _ = logbook.book.merged_status(open_store(), account, pile, None, naming_all=True)
    known = [value.as_dict(moment) for value in merged.known]
    if options.json:
        print(json.dumps({"status": merged.written, "known": known}, indent=2))
        return 0
    rows = [
        (
            value.field,
            value.value if isinstance(value.value, str) else json.dumps(value.value),
            _age(line),
            line["state"],
        )
        for value, line in zip(merged.known, known, strict=True)
    ]
    print_table(rows, ("field", "value", "age", "state"))
    return 0


def _age(line: KnownValue) -> str:
    hours = line["age_s"] / 3600
    return f"{hours:.1f} h" if hours < 48 else f"{hours / 24:.0f} days"


def _advice(options: argparse.Namespace) -> int:
    from service.answer.plain_text import advice_as_text

    account, pile = _id_of(options)
    advice = logbook.book.advice_for(open_store(), account, pile, "full", None)
    if options.json:
        print(json.dumps(advice, indent=2))
    elif options.all:
        screen.say(advice_as_text(advice))
    else:
        say_short(advice)
    return 0


def _export(options: argparse.Namespace) -> int:
    account = account_of(open_store(), options.account)
    with open_store().reading() as session:
        file = logbook.store.exchange.export(session, pile_named(session, account, options.pile))
    text = (
        logbook.formats.flat_table.to_table(file) if options.format == "csv" else json.dumps(file, ensure_ascii=False)
    )
    if options.output is None:
        sys.stdout.write(text)
    else:
        with options.output.open("x", encoding="utf-8", newline="") as stream:
            stream.write(text)
    return 0


def _import(options: argparse.Namespace) -> int:
    now = logbook.book.now_utc()
    rows = logbook.store.file_rows.read_file(options.file.read_bytes(), now, is_table=options.file.suffix == ".csv")
    account = account_of(open_store(), options.account)
    with open_store().writing() as session:
        pile = logbook.store.exchange.bring_in(session, account, rows, now)
    print(pile.id)
    return 0


def _delete(options: argparse.Namespace) -> int:
    if not options.yes:
        print(screen.words("delete-unsure"), file=sys.stderr)
        return 2
    account, pile = _id_of(options)
    wiped = logbook.store.piles.delete_for_good(open_store(), account, pile)
    print(screen.words("deleted", pile=pile), *([screen.words("traces")] if wiped is False else []))
    return 0


def _counts(options: argparse.Namespace) -> int:
    account = account_of(open_store(), options.account)
    with open_store().reading() as session:
        page = logbook.store.feedback.counts_page(session, account)
    if options.json:
        print(json.dumps(page, indent=2))
        return 0
    rows = [
        (
            rule,
            c["given"],
            c["done"],
            c["rejected"],
            c["ignored"],
            c["no_word"],
            *(c["outcome"][o] for o in logbook.store.feedback.OUTCOMES),
        )
        for rule, c in page["rules"].items()
    ]
    print_table(rows, ("rule", "given", "done", "rejected", "ignored", "no word", *logbook.store.feedback.OUTCOMES))
    for band in page["calibration"]:
        low, high = (round(100 * end) for end in band["promised"])
        print(screen.words("promised", low=low, high=high, better=band["better"], told=band["told"]))
    return 0
