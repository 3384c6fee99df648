"""What is loaded for the tests stays, so it is not looked through for what can be let go, test after test."""

from __future__ import annotations

import gc

gc.disable()


def pytest_collection_finish() -> None:
    gc.collect()
    gc.freeze()
    gc.enable()
