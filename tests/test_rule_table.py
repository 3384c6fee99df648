"""The generated parts of rules/README.md are what the rules say today."""

from __future__ import annotations

from rules import RULES
from rules.actions.conflicts import CONFLICTS
from rules.actions.records import ACTIONS
from tests.each import each
from tests.rule_table import FILE, PARTS, conflicts_part, part_in, rules_part, with_part


@each(PARTS)
def test_a_part_is_up_to_date(name: str) -> None:
    told = part_in(FILE.read_text(encoding="utf-8"), name)
    assert told == PARTS[name](), "run python -m tests.rule_table"


def test_every_rule_and_every_action_is_in_the_table() -> None:
    table = rules_part()
    for rule_id in RULES:
        assert table.count(f"| {rule_id} |") == 1
    for action in ACTIONS:
        assert action in table


def test_every_conflict_is_in_the_table() -> None:
    table = conflicts_part()
    for conflict in CONFLICTS:
        assert conflict.why in table and conflict.keeps in table


def test_the_rest_of_the_file_is_left_alone() -> None:
    text = "# A\n\n<!-- begin x -->\nold\n<!-- end x -->\n\nb\n"
    assert with_part(text, "x", "new\\1") == "# A\n\n<!-- begin x -->\nnew\\1\n<!-- end x -->\n\nb\n"
    assert with_part("# A\n", "x", "new") == "# A\n\n<!-- begin x -->\nnew\n<!-- end x -->\n"
