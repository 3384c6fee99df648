"""`warmheap knowledge`: which knowledge this is, and which answers differ under another."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from service.cli import screen


def add(commands: Any) -> None:
    """Add the command to the parser's commands."""
    knowledge = commands.add_parser("knowledge", help="print the version of the knowledge, or compare two")
    knowledge.set_defaults(run=_version)
    tasks = knowledge.add_subparsers(metavar="TASK")
    answers = tasks.add_parser("answers", help="record the answers to every status in a folder, as JSON")
    answers.add_argument("folder", metavar="FOLDER", help="a folder of statuses, one JSON file each")
    answers.set_defaults(run=lambda options: _told(_answers, options))
    compare = tasks.add_parser("compare", help="say which recorded answers differ now; exit code 1 if any does")
    compare.add_argument("recorded", metavar="ANSWERS", help="what `knowledge answers` printed under other knowledge")
    compare.add_argument("folder", metavar="FOLDER", help="the same folder of statuses")
    compare.set_defaults(run=lambda options: _told(_compare, options))


def _version(options: argparse.Namespace) -> int:
    from rules import RULES
    from rules.version import knowledge_version

    print(screen.words("knowledge", version=knowledge_version(), count=len(RULES)))
    return 0


def _answers(options: argparse.Namespace) -> int:
    from service.why.versions import recorded_answers

    print(json.dumps(recorded_answers(Path(options.folder)), indent=1))
    return 0


def _compare(options: argparse.Namespace) -> int:
    from rules.version import knowledge_version
    from service.why.versions import compare

    recorded = json.loads(Path(options.recorded).read_bytes())
    found = compare(recorded, Path(options.folder))
    differ = [difference for difference in found if difference.what]
    then, now = recorded["knowledge_version"], knowledge_version()
    print(screen.words("compared", then=then, now=now, differ=len(differ), all=len(found)))
    for difference in differ:
        print(difference.name, *(f"   {line}" for line in difference.what), sep="\n")
    return 1 if differ else 0


def _told(run: Callable[[argparse.Namespace], int], options: argparse.Namespace) -> int:
    """Run a task; what cannot be read is told on standard error, and the exit code is 2."""
    from service.answer.plain_text import problem_as_text
    from service.problems.problem import Problem

    try:
        return run(options)
    except Problem as problem:
        print(problem_as_text(problem), file=sys.stderr)
    except OSError as error:
        print(screen.words("unreadable", file=error.filename, why=error.strerror), file=sys.stderr)
    except (ValueError, KeyError, TypeError):
        file = getattr(options, "recorded", options.folder)
        print(screen.words("no-answers", file=file), file=sys.stderr)
    return 2
