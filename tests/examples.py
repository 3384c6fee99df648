"""The worked examples: `python -m tests.examples` writes each answer anew beside its status."""

from __future__ import annotations

from pathlib import Path

from pydantic_core import to_json

from service.answer.advice import advise
from service.status.reading import read_status

FOLDER = Path(__file__).parent.parent / "openapi_examples"


def requests() -> list[Path]:
    """Every status that has an answer, by name."""
    return sorted(FOLDER.glob("advice.*.request.json"))


def answer_file(request: Path) -> Path:
    """Where the answer to a status lies."""
    return request.with_name(request.name.replace(".request.", ".response."))


def answer_to(request: Path) -> bytes:
    """The answer as it is given now."""
    return to_json(advise(read_status(request.read_bytes())), indent=2) + b"\n"


if __name__ == "__main__":
    for path in requests():
        answer_file(path).write_bytes(answer_to(path))
