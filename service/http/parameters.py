"""Query parameters that an address does not take."""

from __future__ import annotations

from fastapi import Request

from service.problems.problem import Problem, cut
from service.status.names import did_you_mean


def unknown(name: str, known: tuple[str, ...]) -> str:
    """That there is no such parameter, and which may have been meant."""
    return "There is no such query parameter" + (
        f".{did_you_mean(name, known)}" if known else ": this address takes none."
    )


def check_parameters(request: Request, *known: str) -> None:
    """Refuse query parameters that are not known."""
    for name in request.query_params:
        if name not in known:
            detail = unknown(name, known)
            raise Problem("invalid-request", detail, [{"pointer": "", "parameter": cut(name), "detail": detail}])
