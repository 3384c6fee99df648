"""The examples' answers are what the service says today, and keep to the answer's model."""

from __future__ import annotations

from pathlib import Path

from service.answer.shapes.advice import Advice
from tests.each import each
from tests.examples import answer_file, answer_to, requests
from tests.shapes import shaped


def test_there_are_enough_examples() -> None:
    assert len(requests()) >= 10


@each(requests())
def test_the_stored_answer_is_todays_answer(request_file: Path) -> None:
    assert answer_file(request_file).read_bytes() == answer_to(request_file)


@each(requests())
def test_the_answer_keeps_to_its_model(request_file: Path) -> None:
    shaped(Advice, answer_file(request_file).read_bytes())
