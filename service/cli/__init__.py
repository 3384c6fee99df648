"""The commands of the log book, one module per subject. Nothing heavy is imported before one is run."""

from __future__ import annotations

from typing import Any

from service.cli import batch, hub, keeping, log, piles, tokens


def register(commands: Any) -> None:
    """Add every command to the subparsers of `warmheap`."""
    for subject in (batch, piles, log, tokens, keeping, hub):
        subject.add(commands)
