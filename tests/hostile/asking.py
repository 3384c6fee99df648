"""Asking hostile cases of a service in this process, and judging what comes back."""

from __future__ import annotations

import contextlib
import os
import time
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from starlette.testclient import TestClient

from tests.hostile.values import ADVICE, PILE, Case

LONGEST_REPLY = 4096
"""Bytes of a refusal, of what the chat says to rubbish, and of a batch of it."""
MOST_PROCESSOR_S = 2.0
"""Processor time for one request, of this process and those that work for it."""
_TICKS: Final = os.sysconf("SC_CLK_TCK")


@dataclass(frozen=True, slots=True)
class Judged:
    """What came of a case; `fault` is empty where it held."""

    case: Case
    status: int
    size: int
    seconds: float
    fault: str


def ask(client: TestClient, case: Case, pile: str, advice: str) -> Judged:
    """Send one case and judge the reply."""
    named = {PILE: pile, ADVICE: advice}
    path, body = case.path, case.body
    for mark, value in named.items():
        path, body = path.replace(mark, value), body.replace(mark.encode(), value.encode())
    headers = {name: value.encode("latin-1") for name, value in case.headers.items()}
    before, start = _taken_by_others(), time.process_time()
    reply = client.request(case.method, path, content=body, headers=headers)
    seconds = time.process_time() - start
    seconds += sum(taken - before[pid] for pid, taken in _taken_by_others().items() if pid in before)
    fault = _fault(case, reply.status_code, _rubbish_in(case, reply.content), seconds)
    return Judged(case, reply.status_code, len(reply.content), seconds, fault)


def _rubbish_in(case: Case, content: bytes) -> int:
    """Bytes of a reply that answer rubbish: a good line of a batch gets the advice it asked for."""
    lines = content.splitlines(keepends=True) if case.name.startswith("batch") else [content]
    return sum(len(line) for line in lines if b'"advice":{' not in line)


def _taken_by_others() -> dict[str, float]:
    """Processor time of each process that this one has started [s]; of one that is not yet there at both ends of a
    request its start would count, so it does not."""
    taken = {}
    for children in Path("/proc/self/task").glob("*/children"):
        for pid in children.read_text().split():
            with contextlib.suppress(OSError):
                fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
                taken[pid] = (int(fields[11]) + int(fields[12])) / _TICKS
    return taken


def _fault(case: Case, status: int, size: int, seconds: float) -> str:
    if status >= 500:
        return f"status {status}"
    if _is_rubbish(case, status) and size > LONGEST_REPLY:
        return f"a reply of {size} bytes"
    return f"{seconds:.1f} s of processor time" if seconds > MOST_PROCESSOR_S else ""


def _is_rubbish(case: Case, status: int) -> bool:
    if case.path.startswith("/form"):
        return status >= 400 and status != 422  # there the form comes back whole, with what was typed
    rubbish_talk = case.path == "/chat" and case.headers.get("content-type") == "text/plain"
    return status >= 400 or rubbish_talk or case.name.startswith(("batch", "tools"))
