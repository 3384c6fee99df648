"""`warmheap backup`, `restore` and `check`: keeping the log book whole, while the service runs."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import Any

from service import logbook
from service.cli import screen
from service.cli.common import add_options, open_store, progress_bar


def add(commands: Any) -> None:
    """Add the commands."""
    backup = commands.add_parser("backup", help="copy the log book to a file while the service runs")
    backup.add_argument("file", type=Path, metavar="FILE", help="the copy to write; it must not exist")
    add_options(backup, _backup)
    restore = commands.add_parser("restore", help="replace the log book by a copy")
    restore.add_argument("file", type=Path, metavar="FILE", help="a copy made by backup")
    restore.add_argument("--yes", action="store_true", help="replace everything that is logged now")
    restore.add_argument("--damaged-too", action="store_true", help="take a copy with damaged entries as it is")
    add_options(restore, _restore)
    check = commands.add_parser("check", help="see whether the log book is whole")
    add_options(check, _check)


def _backup(options: argparse.Namespace) -> int:
    logbook.store.backup.backup(open_store(), options.file, progress_bar)
    print(screen.words("copied", file=options.file))
    return 0


def _restore(options: argparse.Namespace) -> int:
    if not options.yes:
        print(screen.words("restore-unsure"), file=sys.stderr)
        return 2
    logbook.store.backup.restore(open_store(), options.file, progress_bar, damaged_too=options.damaged_too)
    print(screen.words("restored", file=options.file))
    return 0


def _check(options: argparse.Namespace) -> int:
    """Exit code 0 where all is well, 1 where a fault was found."""
    found = logbook.store.check.check(open_store())
    print(found["where"])
    for name, count in found["counts"].items():
        print(f"  {name:<10}{count:>8}")
    for fault in found["faults"]:
        print("  " + screen.words("fault", fault=fault))
    print(screen.words("faults", count=len(found["faults"])) if found["faults"] else screen.words("all-well"))
    return 1 if found["faults"] else 0
