"""Work that misbehaves, to be done in a place."""

from __future__ import annotations

import ctypes
import os
import time
from typing import Any

from service.problems.problem import Problem


def pid_after(seconds: float) -> int:
    """Take some time; the process it was done in."""
    time.sleep(seconds)
    return os.getpid()


def crash() -> None:
    """As native code does that reads where it must not."""
    ctypes.string_at(0)


def spin() -> None:
    """Never end, and never look at any deadline."""
    while True:
        pass


def refuse() -> None:
    """As work does on a request that cannot be."""
    raise Problem("invalid-status", "No.", [{"pointer": "/x", "detail": "no"}], {"X-Why": "no"})


def fail() -> None:
    """A fault of ours, with a secret in its message."""
    raise KeyError("secret of the house")


def no_plain_data() -> Any:
    """What must not come back."""
    return os.getcwd
