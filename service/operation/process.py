"""Starting a fresh interpreter that runs a module of ours: no fork, so whoever starts it may have threads."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Final

_ROOT: Final = str(Path(__file__).resolve().parents[2])
ONE_THREAD: Final = dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"), "1")
"""Each process works on one processor; the libraries below numpy would start a thread for each of all."""


def command(module: str) -> list[str]:
    """What runs a module; nothing in the current folder can come before it."""
    return [sys.executable, "-P", "-m", module]


def environment(settings: Mapping[str, str]) -> dict[str, str]:
    """The environment it needs, so that it finds this package where it lies."""
    paths = [_ROOT, *filter(None, [os.environ.get("PYTHONPATH")])]
    return {**os.environ, **settings, "PYTHONPATH": os.pathsep.join(paths)}
