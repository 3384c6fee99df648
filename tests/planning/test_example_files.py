"""The planning examples that lie beside the source are answered, in every form."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from service.http.description import EXAMPLES_FOLDER

from .asking import ask

FILES = sorted((EXAMPLES_FOLDER / "planning").glob("*.request.json"))
PATHS = {"build_sheet": "/build-sheet", "greenhouse": "/greenhouse", "season": "/season"}


def test_there_are_examples_of_each() -> None:
    assert {file.name.partition(".")[0] for file in FILES} == set(PATHS)


@pytest.mark.slow
@pytest.mark.parametrize("file", FILES, ids=lambda file: file.name)
def test_it_is_answered(file: Path) -> None:
    reply = ask(PATHS[file.name.partition(".")[0]], file.read_bytes(), "application/json")
    assert reply.status_code == 200 and json.loads(reply.content)["units"] in ("us", "metric")
