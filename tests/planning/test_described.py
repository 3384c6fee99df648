"""The planning routes in the description of the interface, and what their import drags along."""

from __future__ import annotations

from typing import Any

import pytest

from service.api.planning_shapes import INCOMING, OUTGOING
from tests.app import APP
from tests.shapes import fields_of

from .asking import ask

DESCRIBED = APP.openapi()["paths"]
ROUTES = ["/build-sheet", "/greenhouse", "/season", "/sizing"]
EXAMPLES = [
    (path, name, example["value"])
    for path in ROUTES
    for name, example in DESCRIBED[path]["post"]["requestBody"]["content"]["application/json"]["examples"].items()
]


FIRST = {path: name for path, name, _ in reversed(EXAMPLES)}
"""The first example of each route: plans take long, so the others have their turn with the long tests."""


@pytest.mark.parametrize(
    ("path", "value"),
    [
        pytest.param(path, value, id=name, marks=() if name == FIRST[path] else pytest.mark.slow)
        for path, name, value in EXAMPLES
    ],
)
def test_every_example_is_answered(path: str, value: Any) -> None:
    assert ask(path, value).status_code == 200


def test_every_field_of_the_questions_has_words_and_a_valid_example() -> None:
    for model in (*INCOMING, *OUTGOING):
        assert model.__doc__
        for name, field in fields_of(model).items():
            assert field.description and field.examples, (model.__name__, name)
