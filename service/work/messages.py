"""What the service and the process of a place say to each other over a pair of sockets.

A call is a function of ours by its name and its arguments. An answer is plain data and nothing else: it comes from a
process that has handled what strangers sent, so nothing in it may name a class or a function.
"""

from __future__ import annotations

import io
import pickle
import struct
from collections.abc import Callable
from typing import Any, Final

from service.operation.logs import FaultPlace
from service.problems.problem import Problem

LENGTH: Final = struct.Struct(">I")
READY: Final = "ready"
DONE: Final = "done"
REFUSED: Final = "refused"
FAILED: Final = "failed"


class Broken(Exception):
    """The work broke off inside: its kinds and places, as they go into the log."""

    def __init__(self, where: FaultPlace) -> None:
        super().__init__(", ".join(where["kinds"]))
        self.where = where


class _Plain(pickle.Unpickler):
    def find_class(self, module: str, name: str, /) -> Any:
        """No class is plain data."""
        raise pickle.UnpicklingError(f"{module}.{name} is no plain data")


def call(function: Callable[..., Any], arguments: tuple[Any, ...]) -> bytes:
    """A call as bytes, its length in front."""
    return _framed((function, arguments))


def answer_message(kind: str, value: Any, counts: tuple[dict[str, int], dict[str, int]]) -> bytes:
    """An answer as bytes, its length in front; `counts` are rules that fired and rules the engine differed on."""
    return _framed((kind, value, counts))


def problem_data(problem: Problem) -> tuple[str, str, list[dict[str, str]], dict[str, str]]:
    """A problem as plain data."""
    return problem.slug, problem.detail, list(problem.errors), problem.headers


def read_call(data: bytes) -> tuple[Callable[..., Any], tuple[Any, ...]]:
    """The call again, in the process of a place: it comes from the service itself."""
    function, arguments = pickle.loads(data)
    return function, arguments


def read_answer_message(data: bytes) -> tuple[Any, tuple[dict[str, int], dict[str, int]]]:
    """What an answer holds, and its counts. Raises Problem or Broken where the work ended in one."""
    kind, value, counts = _Plain(io.BytesIO(data)).load()
    if kind == REFUSED:
        raise Problem(*value)
    if kind == FAILED:
        raise Broken(value)
    return value, counts


def _framed(value: Any) -> bytes:
    data = pickle.dumps(value, pickle.HIGHEST_PROTOCOL)
    return LENGTH.pack(len(data)) + data
