"""The README says what is so."""

from __future__ import annotations

import re

from service.problems.problem import KINDS
from tests.readme import README, printed, shown

TEXT = README.read_text(encoding="utf-8")


def test_the_answer_shown_is_what_is_printed() -> None:
    assert shown() == printed()


def test_the_job_stands_at_the_top() -> None:
    first = TEXT.split("\n\n")[1]
    assert "ranked actions" in first.replace("\n", " ")


def test_the_commands_are_single_lines() -> None:
    for name in ("advise", "test"):
        block = re.search(rf"<!-- command: {name} -->\n```sh\n(.*?)```", TEXT, re.DOTALL)
        assert block is not None
        assert block[1].count("\n") == 1


def test_the_files_it_names_exist() -> None:
    for name in re.findall(r"openapi_examples/[\w.]+", TEXT):
        assert (README.parent / name).exists()


def test_refusals_are_of_the_kind_it_names() -> None:
    asking = (README.parent / "service" / "api" / "README.md").read_text(encoding="utf-8")
    assert "application/problem+json" in asking
    assert KINDS["invalid-status"].status == 422
