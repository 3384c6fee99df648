"""What the commands share: where the log book is, whose piles, and how problems are told."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from service.logbook.store.place import DATA_VARIABLE

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from service.logbook.store.engine import Store
    from service.logbook.store.models import Pile

Run = Callable[[argparse.Namespace], int]
_BAR = 40


def add_data_option(parser: argparse.ArgumentParser) -> None:
    """Let the data folder be named."""
    parser.add_argument("--data", metavar="FOLDER", help=f"data folder (default: {DATA_VARIABLE}, or the user's own)")


def add_options(parser: argparse.ArgumentParser, run: Run) -> None:
    """Let data folder and account be named, and `run` be run with problems told on standard error."""
    add_data_option(parser)
    parser.add_argument("--account", default="home", metavar="NAME", help="whose piles (default: home)")
    parser.set_defaults(run=lambda options: told(run, options))


def told(run: Run, options: argparse.Namespace) -> int:
    """Run a command; a problem is told on standard error, and the exit code is 2."""
    from service.answer.plain_text import problem_as_text
    from service.problems.problem import Problem

    use_folder(options)
    try:
        return run(options)
    except Problem as problem:
        print(problem_as_text(problem), file=sys.stderr)
    except OSError as error:
        print(f"{error.filename or 'The file'} cannot be used: {error.strerror}", file=sys.stderr)
    return 2


def use_folder(options: argparse.Namespace) -> None:
    """Use the data folder that was named, here and in the processes this one starts."""
    if options.data is None:
        return
    if not Path(options.data).is_dir():
        print(f"There is no folder {options.data}. If it is meant, make it first: mkdir -p", file=sys.stderr)
        raise SystemExit(2)
    os.environ[DATA_VARIABLE] = options.data


def open_store() -> Store:
    """The log book."""
    from service.logbook.store.engine import the_store

    return the_store()


def account_of(store: Store, name: str) -> str:
    """Id of an account, made where there is none; nothing is written where there is one."""
    from service.logbook.book import now_utc
    from service.logbook.store.piles import account_named, find_account

    with store.reading() as session:
        found = find_account(session, name)
    if found is not None:
        return found.id
    with store.writing() as session:
        return account_named(session, name[:60], now_utc()).id


def pile_named(session: Session, account: str, named: str) -> Pile:
    """The pile of this id, or the only one of this name."""
    from service.logbook.store.piles import pile_of, piles_of
    from service.problems.problem import Problem

    same = [pile for pile in piles_of(session, account) if pile.name == named]
    if len(same) > 1:
        raise Problem("not-found", f"{len(same)} piles are called {named}; name one by its id.")
    return same[0] if same else pile_of(session, account, named)


def print_table(rows: list[tuple[Any, ...]], header: tuple[str, ...]) -> None:
    """Rows below a header, in columns as wide as their widest cell."""
    cells = [header, *(tuple("" if cell is None else str(cell) for cell in row) for row in rows)]
    widths = [max(len(row[column]) for row in cells) for column in range(len(header))]
    for row in cells:
        print("  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip())


def progress_bar(done: int, total: int) -> None:
    """Draw how far the work is, where somebody is watching."""
    if not sys.stderr.isatty():
        return
    filled = _BAR * done // max(total, 1)
    end = "\n" if done >= total else ""
    print(f"\r[{'#' * filled}{'.' * (_BAR - filled)}] {done}/{total}", end=end, file=sys.stderr, flush=True)
