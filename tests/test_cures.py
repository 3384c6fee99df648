"""Every cause has its cures, and a sentence for when none of them stands beside it."""

from __future__ import annotations

from rules.actions.cures import CURES, EXPLAINED
from rules.actions.records import ACTIONS
from rules.catalogue import ENGLISH
from rules.language.findings import CAUSES, DECLARED
from tests.each import each


@each(sorted(CAUSES))
def test_a_cause_has_cures_and_a_sentence(cause: str) -> None:
    assert CURES[cause]
    assert ENGLISH[f"cause.none.{cause}"].endswith(".")


def test_cures_and_explanations_name_what_there_is() -> None:
    assert set(CURES) <= set(CAUSES)
    assert set(EXPLAINED) <= set(DECLARED)
    for moves in (*CURES.values(), *EXPLAINED.values()):
        assert set(moves) <= set(ACTIONS)
