"""The version of this service, as installed."""

from __future__ import annotations

from importlib.metadata import version
from typing import Final

VERSION: Final = version("warmheap")
