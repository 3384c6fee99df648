"""`warmheap chat`: the conversation of `POST /chat` in a terminal."""

from __future__ import annotations

import argparse
import contextlib
from typing import Any

from service import talk
from service.cli import screen

_ENDS = frozenset({"bye", "quit", "exit", "q", "goodbye", "done"})


def add(commands: Any) -> None:
    """Add the command to the subparsers of `warmheap`."""
    parser = commands.add_parser("chat", help="talk about one heap in plain words; bye ends it")
    parser.add_argument("--units", choices=["us", "metric"], help="how degrees are read that say neither °C nor °F")
    parser.set_defaults(run=_run)


def _run(options: argparse.Namespace) -> int:
    from datetime import datetime

    with contextlib.suppress(ImportError):
        import readline  # noqa: F401 - its import gives `input` line editing and a history
    draft = talk.chat.draft.Draft() if options.units is None else talk.chat.draft.Draft(status={"units": options.units})
    screen.say(screen.words("chat-start"))
    while True:
        try:
            line = screen.typed_line("> ")
        except KeyboardInterrupt:
            print()
            return 0
        if line is None:
            return 0
        if line.strip(" .!").lower() in _ENDS:
            return 0
        if line.strip():
            reply = talk.chat.talk.turn(draft, line, datetime.now().astimezone().replace(microsecond=0))
            screen.say(reply.text)
