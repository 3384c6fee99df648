"""Logs as JSON lines on standard error: no values of requests, no messages of errors, no secrets.

An error is told by its class and the places in the code it passed; its message may hold what somebody sent.
"""

from __future__ import annotations

import contextlib
import json
import logging
import os
import sys
import time
import traceback
from asyncio import AbstractEventLoop
from collections.abc import Mapping
from contextvars import ContextVar
from datetime import UTC, datetime
from types import TracebackType
from typing import Any, Final, TypedDict

import orjson

from service.operation import tally
from service.problems.json_text import JsonObject

VARIABLE: Final = "WARMHEAP_LOG"
LEVELS: Final = {"all": logging.INFO, "errors": logging.WARNING, "off": logging.CRITICAL + 1}
"""What the setting may say: every request, only what went wrong, or nothing."""
MOST_FRAMES: Final = 20
QUIET_S: Final = 10.0
"""What strangers can bring about as often as they like is told once in so long, with how often it happened."""
MOST_TOLD: Final = 500
"""Sentences of libraries that are remembered as told; texts made anew each time would be ever more."""
request_id: ContextVar[str | None] = ContextVar("request_id", default=None)
_LOG: Final = logging.getLogger("warmheap")
_NAMES: Final = {logging.INFO: "info", logging.WARNING: "warning", logging.ERROR: "error"}
_direct: Final[list[bool]] = []
"""Not empty once lines go to standard error."""
_told: dict[str, tuple[float, int]] = {}

ExceptionInfo = tuple[type[BaseException], BaseException, TracebackType | None] | tuple[None, None, None]


class JsonLines(logging.Formatter):
    """One JSON object for each record."""

    def format(self, record: logging.LogRecord) -> str:
        """Time, level, what happened, and the fields that belong to it."""
        line: JsonObject = {
            "time": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname.lower(),
            "event": record.getMessage() if record.exc_info is None else record.msg,
            "process": record.process,
            **getattr(record, "fields", {}),
        }
        asked = request_id.get()
        if asked is not None:
            line.setdefault("request_id", asked)
        if record.exc_info:
            line["error"] = where(record.exc_info)
        return json.dumps(line, ensure_ascii=True, default=str)


class FaultPlace(TypedDict):
    """An error without its message: its kinds from the last to the first cause, and where it came from."""

    kinds: list[str]
    at: list[str]


def where(fault: ExceptionInfo) -> FaultPlace:
    """An error without its message: its classes from the last to the first cause, and where it came from."""
    error = fault[1]
    kinds: list[str] = []
    while error is not None and len(kinds) < MOST_FRAMES:
        kinds.append(type(error).__name__)
        error = error.__cause__ or error.__context__
    frames = traceback.extract_tb(fault[2])[-MOST_FRAMES:] if fault[2] is not None else []
    return {
        "kinds": kinds,
        "at": [f"{os.path.basename(frame.filename)}:{frame.lineno} {frame.name}" for frame in frames],
    }


class Seldom(logging.Filter):
    """Lets pass what a library says of connections and the like once in a while; what is an error always passes."""

    def filter(self, record: logging.LogRecord) -> bool:
        """Whether it is told; how often it was said meanwhile is among its fields."""
        if record.levelno >= logging.ERROR or record.name.partition(".")[0] in ("warmheap", "service"):
            return True
        more = _seldom(f"{record.name} {record.msg!s:.200}")
        if more:
            record.fields = {"more_since_last": more}
        return more is not None


def set_up() -> None:
    """Log as JSON lines from now on. Raises ValueError where the setting is not known."""
    level = os.environ.get(VARIABLE, "all")
    if level not in LEVELS:
        raise ValueError(f"{VARIABLE} must be one of {', '.join(LEVELS)}, not {level[:40]!r}")
    handler = logging.StreamHandler(sys.stderr)
    handler.setFormatter(JsonLines())
    handler.addFilter(Seldom())
    logging.basicConfig(handlers=[handler], level=logging.WARNING, force=True)
    _LOG.setLevel(LEVELS[level])
    logging.getLogger("service").setLevel(LEVELS[level])
    logging.captureWarnings(True)
    _direct.append(True)
    if level == "off":
        logging.disable(logging.CRITICAL)


def tell(event: str, level: int = logging.INFO, **fields: Any) -> None:
    """Log something that happened, with its fields. Written straight away: there is a line for every request."""
    if not _LOG.isEnabledFor(level):
        return
    if not _direct:
        _LOG.log(level, event, extra={"fields": fields})
        return
    now = datetime.now(UTC).isoformat(timespec="milliseconds")
    line = {"time": now, "level": _NAMES[level], "event": event, "process": os.getpid(), **fields}
    with contextlib.suppress(OSError):  # nobody reads the log any more; the service goes on
        os.write(2, orjson.dumps(line, default=str, option=orjson.OPT_APPEND_NEWLINE))


def tell_cut(why: str) -> None:
    """A connection was cut or refused. Told now and then with a count: an attack must not fill the disk."""
    tally.CUT.labels(why).inc()
    more = _seldom(why)
    if more is not None:
        tell("connection cut", logging.WARNING, why=why, more_since_last=more)


def _seldom(what: str) -> int | None:
    """How often it happened since it was last told; None where that is not long ago."""
    now = time.monotonic()
    since, count = _told.get(what, (-QUIET_S, 0))
    if now - since < QUIET_S:
        _told[what] = since, count + 1
        return None
    if len(_told) >= MOST_TOLD:
        _told.clear()
    _told[what] = now, 0
    return count


def failed_in_loop(loop: AbstractEventLoop, context: Mapping[str, Any]) -> None:
    """What the event loop complains about; out of file handles it would write a trace for each connection it awaits."""
    error = context.get("exception")
    if isinstance(error, OSError):
        tell_cut("no file handle" if "accept" in str(context.get("message")) else "broken")
        return
    fault = {} if error is None else {"error": where((type(error), error, error.__traceback__))}
    tell("fault beside requests", logging.ERROR, **fault)
