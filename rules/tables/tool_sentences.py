"""What the tools of language-model clients say around an answer, with fields in braces."""

from __future__ import annotations

from typing import Final

TOOLS: Final[dict[str, str]] = {
    "tool.number.c_to_n": "carbon that can rot to nitrogen",
    "tool.number.c_to_n_total": "all carbon to nitrogen",
    "tool.number.moisture": "moisture",
    "tool.number.free_air_space": "room for air",
    "tool.number.soft_matter": "soft matter",
    "tool.number.bulk_density": "weight as it lies",
    "tool.number.expected_peak": "expected peak",
    "tool.example": "An example that works: {example}",
    "tool.not-advised": "{action} is not advised for this status. Advised are: {there}.",
    "tool.no-such-action": "There is no such action. Advised are: {there}.",
    "tool.take": "- take {amount} of {what}",
    "tool.no-such-id.rule": "There is no rule of this id.{near}",
    "tool.no-such-id.material": "There is no material of this id.{near}",
    "tool.rule.gives": "Rule {id} gives {gives}.",
    "tool.rule.when": "When: {when}.",
    "tool.rule.reason": "Reason: {reason}",
    "tool.rule.source": "Source: {cite} ({how_known})",
    "tool.material.caution": "- take care: {caution}",
    "tool.material.names": "{name} ({id}); also called {also}.",
    "tool.first-so-far": "First so far: {title}.",
    "tool.ask": "Ask the person: {question}",
    "tool.why": 'Why: {why} "Don\'t know" is an answer: then put {field} into skipped.',
    "tool.status-so-far": "Status so far: {status}",
    "tool.not-read": "Not read: {what}",
    "tool.likely": "- {answer}: then first {title}",
    "tool.likely-sets": "- {answer} (set {sets}): then first {title}",
    "tool.dont-know": "don't know",
    "tool.answer": "Answer",
    "tool.own-words": 'In your own words, with units; "{dont_know}" is an answer.',
    "tool.no-such-tool": "There is no such tool. There are: {tools}.",
}
