"""Arguments of the command line: what is wrong is said once, with the usage of the command it was meant for."""

from __future__ import annotations

import argparse
import difflib
from typing import Any, NoReturn

from service.cli import screen


class Parser(argparse.ArgumentParser):
    """A parser whose errors name the likely slip, and which refuses by itself what its parent would else refuse."""

    def __init__(self, *arguments: Any, **options: Any) -> None:
        super().__init__(*arguments, **options)
        self.set_defaults(usage=self.format_usage)

    def parse_known_args(self, args: Any = None, namespace: Any = None) -> tuple[Any, list[str]]:
        """Parse, and refuse whatever is left over here, where the command is known."""
        found, left = super().parse_known_args(args, namespace)
        if left:
            self.error(f"not known here: {' '.join(left)}{self._meant(left[0])}")
        return found, left

    def error(self, message: str) -> NoReturn:
        """Say what is wrong and how the command is used, and end with 2."""
        screen.tell_error(f"{self.prog}: {message}\n{self.format_usage().strip()}")
        raise SystemExit(2)

    def _meant(self, given: str) -> str:
        near = difflib.get_close_matches(given.split("=", maxsplit=1)[0], self._option_string_actions, 1)
        return f". Did you mean {near[0]}?" if near else ""

    def _check_value(self, action: argparse.Action, value: Any) -> None:
        """Refuse what is none of the choices, with the nearest of them."""
        if action.choices is None or value in action.choices:
            return
        known = [str(choice) for choice in action.choices]
        near = difflib.get_close_matches(str(value), known, 1)
        meant = f" Did you mean {near[0]}?" if near else f" Known: {', '.join(known)}."
        raise argparse.ArgumentError(action, f"there is no {str(value)[:60]}.{meant}")
