"""What the commands share: where the log book is, whose piles, and how problems are told."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from service import logbook
from service.cli import screen
from service.logbook.store.place import DATA_VARIABLE

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from service.answer.shapes.advice import Advice
    from service.logbook.store.engine import Store
    from service.logbook.store.models import PileRow

CommandRun = Callable[[argparse.Namespace], int]
_BAR = 40


def add_data_option(parser: argparse.ArgumentParser) -> None:
    """Let the data folder be named."""
    parser.add_argument("--data", metavar="FOLDER", help=f"data folder (default: {DATA_VARIABLE}, or the user's own)")


def add_options(parser: argparse.ArgumentParser, run: CommandRun) -> None:
    """Let data folder and account be named, and `run` be run there."""
    add_data_option(parser)
    parser.add_argument("--account", default="home", metavar="NAME", help="whose piles (default: home)")
    parser.set_defaults(run=lambda options: _in_folder(run, options))


def _in_folder(run: CommandRun, options: argparse.Namespace) -> int:
    use_folder(options)
    return run(options)


def use_folder(options: argparse.Namespace) -> None:
    """Use the data folder that was named, here and in the processes this one starts."""
    if options.data is None:
        return
    if not options.data or not Path(options.data).is_dir():
        screen.tell_error(screen.words("no-folder", folder=repr(options.data)))
        raise SystemExit(2)
    os.environ[DATA_VARIABLE] = options.data


def open_store() -> Store:
    """The log book."""
    return logbook.store.engine.the_store()


def account_of(store: Store, name: str) -> str:
    """Id of an account, made where there is none; nothing is written where there is one."""
    with store.reading() as session:
        found = logbook.store.piles.find_account(session, name)
    if found is not None:
        return found.id
    with store.writing() as session:
        return logbook.store.piles.account_named(session, name[:60], logbook.book.now_utc()).id


def pile_named(session: Session, account: str, named: str) -> PileRow:
    """The pile of this id, or the only one of this name."""
    from service.problems.problem import Problem

    same = [pile for pile in logbook.store.piles.piles_of(session, account) if pile.name == named]
    if len(same) > 1:
        raise Problem("not-found", f"{len(same)} piles are called {named}; name one by its id.")
    return same[0] if same else logbook.store.piles.pile_of(session, account, named)


def say_short(answer: Advice) -> None:
    """Say what to do first, in few words, and how to have the rest."""
    from rules.catalogue import said
    from service.answer.plain_text import brief_as_text

    screen.say(f"{brief_as_text(answer)}\n({said('plain.all')})")


def print_table(rows: list[tuple[Any, ...]], header: tuple[str, ...]) -> None:
    """Rows below a header, in columns as wide as their widest cell; one below the other where there is no room."""
    cells = [header, *(tuple("" if cell is None else str(cell) for cell in row) for row in rows)]
    widths = [max(len(row[column]) for row in cells) for column in range(len(header))]
    if sum(widths) + 2 * len(widths) > screen.width() and sys.stdout.isatty():
        for row in cells[1:]:
            screen.say("\n".join(f"{name}: {cell}" for name, cell in zip(header, row, strict=True) if cell) + "\n")
        return
    for row in cells:
        print("  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip())


def progress_bar(done: int, total: int) -> None:
    """Draw how far the work is, where somebody is watching."""
    if not sys.stderr.isatty():
        return
    filled = _BAR * done // max(total, 1)
    end = "\n" if done >= total else ""
    print(f"\r[{'#' * filled}{'.' * (_BAR - filled)}] {done}/{total}", end=end, file=sys.stderr, flush=True)
