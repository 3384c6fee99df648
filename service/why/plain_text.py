"""An explanation as text for a terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from typing import Any, Final

from rules.catalogue import said
from service.answer.plain_text import WIDTH
from service.render.numbers import quantity_in_words
from service.why.shape import AssumedEffect, Change, ConditionShown, Explanation, RuleExplained

_STATES: Final = ("fired", "cannot_tell", "did_not_hold")
_TRUTHS: Final = {True: "word.yes", False: "word.no"}


def explanation_as_text(explained: Explanation, *, in_detail: bool = False) -> str:
    """The explanation as plain text; `in_detail` lists every test of each rule."""
    lines = [said("explained.first", title=_title(explained["first_action"])), ""]
    if not in_detail:
        lines += _what_would_change(explained["what_would_change"])
        lines += _assumed(explained["assumed"])
    for state in _STATES:
        found = [rule for rule in explained["rules"] if rule["state"] == state]
        if found:
            lines += [
                f"{said(f'explained.{state}')} ({len(found)})",
                *(line for rule in found for line in _rule(rule, in_detail)),
                "",
            ]
    return "\n".join(lines).rstrip()


def _title(action: str) -> str:
    return said(f"action.{action}.title")


def _what_would_change(change: Change | None) -> Iterator[str]:
    yield said("explained.change")
    yield from _wrap(change["text"] if change else said("explained.no-change"), "   ")
    yield ""


def _assumed(assumed: list[AssumedEffect]) -> Iterator[str]:
    if not assumed:
        return
    yield said("explained.assumed")
    for item in assumed:
        tried = "; ".join(
            said(
                "explained.if",
                value=one["value"].replace("_", " "),
                title=_title(one["first_action"]),
                draw=quantity_in_words(one["season_draw"]),
            )
            for one in item["if_it_were"]
        )
        yield from _wrap(f"{item['field']}: {quantity_in_words(item)}; {item['why']}. {tried}", "     ", "   - ")
    yield ""


def _rule(rule: RuleExplained, in_detail: bool) -> Iterator[str]:
    outcome = f" [{rule['outcome']}]" if rule["outcome"] else ""
    yield from _wrap(f"{rule['rule']}: {rule['text']}{outcome}", "     ", "   - ")
    if in_detail:
        yield from _wrap(said("explained.gives", gives=rule["gives"]), "     ")
        for condition in rule["conditions"]:
            yield from _wrap(_test(condition), "         ", "       ")


def _test(condition: ConditionShown) -> str:
    unit = f" {condition['unit']}" if condition["unit"] not in ("", "1") else ""
    limit = "" if condition["limit"] is None else f" {_shown(condition['limit'])}{unit}"
    met = said("explained.not-known") if condition["value"] is None else f"{_shown(condition['value'])}{unit}"
    truth = "?" if condition["truth"] is None else said(_TRUTHS[condition["truth"]])
    return f"[{truth}] {condition['fact']} {condition['test']}{limit}: {met}"


def _shown(value: Any) -> str:
    return said(_TRUTHS[value]) if isinstance(value, bool) else str(value)


def _wrap(text: str, indent: str, first: str | None = None) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent=indent if first is None else first, subsequent_indent=indent)
