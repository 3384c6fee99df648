"""`warmheap tokens`: made, listed and revoked."""

from __future__ import annotations

import argparse
from typing import Any

from service import logbook
from service.cli import screen
from service.cli.common import add_options, open_store, print_table


def add(commands: Any) -> None:
    """Add the command."""
    parser = commands.add_parser("tokens", help="make, list and revoke the tokens of a service that others can reach")
    actions = parser.add_subparsers(required=True, metavar="ACTION")
    make = actions.add_parser("make", help="make a token; it is shown once and only its hash is kept")
    make.add_argument("name", metavar="NAME", help="what it is for, such as `phone`")
    make.add_argument("--scope", choices=["owner", "reader"], default="owner", help="readers cannot change anything")
    add_options(make, _make)
    add_options(actions.add_parser("list", help="list all tokens, without their secrets"), _list)
    revoke = actions.add_parser("revoke", help="make a token useless")
    revoke.add_argument("id", metavar="ID", help="its id, as listed")
    add_options(revoke, _revoke)


def _make(options: argparse.Namespace) -> int:
    with open_store().writing() as session:
        token = logbook.store.tokens.make(
            session, options.account[:60], options.name[:60], options.scope, logbook.book.now_utc()
        )
    print(token)
    return 0


def _list(options: argparse.Namespace) -> int:
    with open_store().reading() as session:
        tokens = logbook.store.tokens.all_tokens(session)
    rows = [
        (token.id, token.name, token.account, token.scope, _day(token.made_at), _day(token.revoked_at))
        for token in tokens
    ]
    print_table(rows, ("id", "name", "account", "scope", "made", "revoked"))
    return 0


def _revoke(options: argparse.Namespace) -> int:
    with open_store().writing() as session:
        logbook.store.tokens.revoke(session, options.id, logbook.book.now_utc())
    print(screen.words("revoked", id=options.id))
    return 0


def _day(moment: Any) -> str:
    return "" if moment is None else f"{moment:%Y-%m-%d %H:%M}Z"
