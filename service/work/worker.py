"""The process of a place: calls in, answers out on the same socket, until it is closed: `-m service.work.worker`."""

from __future__ import annotations

import contextlib
import gc
import os
import signal
import socket
import sys
from collections.abc import Callable
from typing import Any

from service.work import messages


def main() -> None:
    """Answer calls until the service closes its end, as it does when it is gone."""
    os.environ.pop("PROMETHEUS_MULTIPROC_DIR", None)  # the service counts, this process only tells
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # whoever interrupts the service lets it end its places in order
    own = socket.socket(fileno=os.dup(0))
    nothing = os.open(os.devnull, os.O_RDWR)
    os.dup2(nothing, 0)
    os.dup2(2, 1)  # whatever else is written to standard output goes to the log
    from service.operation import logs

    logs.set_up()
    _warm_up()
    with own.makefile("rb") as calls, contextlib.suppress(ConnectionError):  # the service has died
        own.sendall(messages.answer_message(messages.READY, None, _counts()))
        while header := calls.read(messages.LENGTH.size):
            size = messages.LENGTH.unpack(header)[0]
            own.sendall(_answered(*messages.read_call(calls.read(size))))


def _warm_up() -> None:
    """Load what most work needs. It stays, so it need not be looked through for what can be let go."""
    from rules.engine.inference import warm_up
    from service.answer import advice as advise  # noqa: F401
    from service.planning import sizing  # noqa: F401

    warm_up()
    gc.collect()
    gc.freeze()


def _answered(function: Callable[..., Any], arguments: tuple[Any, ...]) -> bytes:
    from service.operation import logs
    from service.problems.problem import Problem

    try:
        return messages.answer_message(messages.DONE, function(*arguments), _counts())
    except Problem as problem:
        return messages.answer_message(messages.REFUSED, messages.problem_data(problem), _counts())
    except Exception:
        fault: Any = sys.exc_info()
        return messages.answer_message(messages.FAILED, logs.where(fault), _counts())


def _counts() -> tuple[dict[str, int], dict[str, int]]:
    from rules.engine.inference import take_counts

    return take_counts()


if __name__ == "__main__":
    main()
