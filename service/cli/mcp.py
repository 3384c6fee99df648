"""`warmheap mcp`: the tools for a language-model client that starts this as its child."""

from __future__ import annotations

import argparse
import sys
from importlib.util import find_spec
from typing import Any

from service import talk
from service.cli import screen


def add(commands: Any) -> None:
    """Add the command to the subparsers of `warmheap`."""
    parser = commands.add_parser("mcp", help="serve tools to a language-model client on standard input and output")
    parser.set_defaults(run=_run)


def _run(options: argparse.Namespace) -> int:
    if find_spec("mcp") is None:
        print(screen.words("no-tools"), file=sys.stderr)
        return 2
    import anyio

    anyio.run(talk.tools.server.serve_stdio)
    return 0
