"""Asking hostile cases of a service in this process, and judging what comes back."""

from __future__ import annotations

import time
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from starlette.testclient import TestClient

from tests.hostile.values import ADVICE, PILE, Case

LONGEST_REPLY = 4096
"""Bytes of a refusal, or of what the chat says to rubbish."""
MOST_PROCESSOR_S = 2.0
"""Processor time of all threads of the process for one request."""


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
    start = time.process_time()
    reply = client.request(case.method, path, content=body, headers=headers)
    seconds = time.process_time() - start
    fault = _fault(case, reply.status_code, len(reply.content), seconds)
    return Judged(case, reply.status_code, len(reply.content), seconds, fault)


def _fault(case: Case, status: int, size: int, seconds: float) -> str:
    if status >= 500:
        return f"status {status}"
    is_short = status >= 400 or case.name.startswith("said")
    if (
        is_short and size > LONGEST_REPLY and not (case.path.startswith("/form") and status == 422)
    ):  # the form comes back whole
        return f"a reply of {size} bytes"
    return f"{seconds:.1f} s of processor time" if seconds > MOST_PROCESSOR_S else ""


def faults(client: TestClient, cases: Iterable[Case], pile: str, advice: str) -> Iterator[str]:
    """What did not hold, in words."""
    for case in cases:
        judged = ask(client, case, pile, advice)
        if judged.fault:
            yield f"{case.name}: {judged.fault}"
