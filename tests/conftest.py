"""What is loaded for the tests stays: it is not looked through for what can be let go, nor compiled again and again."""

from __future__ import annotations

import gc
import os
import sys

gc.disable()
# Dozens of processes are started; each would compile all it imports if compiled files might not be kept.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False


def pytest_collection_finish() -> None:
    gc.collect()
    gc.freeze()
    gc.enable()
