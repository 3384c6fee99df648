"""Modules that are loaded when they are first used, so that the service starts without what a first answer lacks."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from types import ModuleType


def loaded_when_used(package: str) -> Callable[[str], ModuleType]:
    """The `__getattr__` of a package (PEP 562): each of its modules is loaded when it is first reached through it.

    The package's `__init__.py` is then the one door to what is heavy in it; who uses it imports the package alone.
    """

    def load(name: str) -> ModuleType:
        module = f"{package}.{name}"
        try:
            return import_module(module)
        except ModuleNotFoundError as error:
            if error.name != module:
                raise
            raise AttributeError(f"{package} has no module {name}") from None

    return load
