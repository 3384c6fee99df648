"""`warmheap completion`: what makes a shell complete the commands, their options and what those take."""

from __future__ import annotations

import argparse
from typing import Any

from service.cli import screen


def add(commands: Any) -> None:
    """Add the command to the subparsers of `warmheap`."""
    parser = commands.add_parser("completion", help="print what makes a shell complete this command")
    parser.add_argument(
        "shell", choices=["bash", "zsh", "fish"], help='use it as: eval "$(warmheap completion bash)"; fish: | source'
    )
    parser.set_defaults(run=_run)


def _run(options: argparse.Namespace) -> int:
    from argcomplete.shell_integration import shellcode

    screen.put(shellcode(["warmheap"], shell=options.shell).encode())
    return 0
