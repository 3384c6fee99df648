"""Every text a reader of an answer can meet, by id, in English and in any language that has a file.

English is written where it belongs: beside each rule, action, question and material, and in the modules of sentences.
It is gathered here under ids such as `rule.moisture.too-dry` or `action.add_water.step.1`. A second language is one
file, `rules/texts/<language>.toml`, of ids and texts with the same fields in braces; what it lacks is said in English.
`python -m rules.catalogue` prints the English one to start from.
"""

from __future__ import annotations

import json
import string
import tomllib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Final

from rules import RULES
from rules.actions.conflicts import CONFLICTS
from rules.actions.records import ACTIONS, Action
from rules.language import facts, findings
from rules.language.model import Caution
from rules.language.vocabulary import SIGNS, SMELLS, SYMPTOMS
from rules.tables.asking_sentences import ASKING
from rules.tables.assumption_sentences import ASSUMED
from rules.tables.chat_sentences import CHAT
from rules.tables.command_sentences import COMMANDS
from rules.tables.explanation_sentences import EXPLAINED
from rules.tables.faq import FAQ
from rules.tables.fields import FIELDS
from rules.tables.form_sentences import FORM
from rules.tables.hub_sentences import HUB
from rules.tables.language_sentences import ONLY_ENGLISH
from rules.tables.life_tags import TAGS
from rules.tables.log_book_sentences import LOG_BOOK
from rules.tables.materials import MATERIALS, REFUSALS
from rules.tables.mix_sentences import MIX
from rules.tables.next_heap_sentences import NEXT_HEAP
from rules.tables.outlook_sentences import OUTLOOK
from rules.tables.page_sentences import PAGE
from rules.tables.part_sentences import PARTS
from rules.tables.plain_sentences import PLAIN
from rules.tables.plan_sentences import PLAN
from rules.tables.planning_sentences import PLANNING
from rules.tables.questions import IN_DANGER, QUESTIONS
from rules.tables.sentences import SENTENCES
from rules.tables.sheet_sentences import SHEET
from rules.tables.tool_sentences import TOOLS
from rules.tables.unit_sentences import UNITS
from rules.tables.unread_sentences import UNREAD

SOURCE_LANGUAGE: Final = "en"
FOLDER: Final = Path(__file__).with_name("texts")
SPOKEN: Final = {"through_heap": "through the heap"}
"""Words of a status that are said otherwise than with spaces for underlines."""


def _gathered() -> Iterator[tuple[str, str]]:
    for rule in RULES.values():
        yield f"rule.{rule.id}", rule.reason
        if isinstance(rule.gives, Caution) and rule.gives.brief:
            yield f"brief.{rule.id}", rule.gives.brief
    for action in ACTIONS.values():
        yield from _of_action(action)
    for question in (*QUESTIONS, *IN_DANGER):
        yield f"question.{question.key}.text", question.text
        yield f"question.{question.key}.why", question.why
    for material in MATERIALS.values():
        yield f"material.{material.id}.name", material.name
        if material.remark:
            yield f"material.{material.id}.remark", material.remark
        for number, caution in enumerate(material.cautions, start=1):
            yield f"material.{material.id}.caution.{number}", caution.text
    for fact in facts.DECLARED.values():
        for value in fact.values:
            yield f"word.{value}", SPOKEN.get(value, value.replace("_", " "))
    yield from ((f"conflict.{conflict.keeps}.{conflict.drops}", conflict.why) for conflict in CONFLICTS)
    yield from ((f"tag.{rule}", tag) for rule, tag in TAGS.items())
    yield from SENTENCES.items()
    yield from OUTLOOK.items()
    yield from COMMANDS.items()
    yield from PLAN.items()
    for words in (SMELLS, SIGNS, SYMPTOMS):
        yield from ((f"label.{word.kind}.{word.id}", word.label) for word in words.values())
    yield from ((f"faq.{entry.id}", entry.text) for entry in FAQ)
    yield from ((f"refused.{refusal.id}", refusal.why) for refusal in REFUSALS.values())
    yield from ((f"likely.{finding}", meaning) for finding, meaning in findings.CAUSES.items())
    for record in FIELDS.values():
        yield from record.texts()
    for sentences in (ASKING, ASSUMED, EXPLAINED, ONLY_ENGLISH, PARTS, PLAIN, MIX, PLANNING, SHEET, FORM, PAGE):
        yield from sentences.items()
    for sentences in (CHAT, UNREAD, TOOLS, HUB, UNITS, NEXT_HEAP, LOG_BOOK):
        yield from sentences.items()


def _of_action(action: Action) -> Iterator[tuple[str, str]]:
    start = f"action.{action.id}"
    yield f"{start}.title", action.title
    yield f"{start}.watch_for", action.watch_for
    if action.alternative:
        yield f"{start}.alternative", action.alternative
    for kind, steps in (("step", action.steps), *action.steps_in.items()):
        for number, step in enumerate(steps, start=1):
            yield f"{start}.{kind}.{number}", step


ENGLISH: Final[Mapping[str, str]] = MappingProxyType(dict(_gathered()))
"""Every text by id."""

_SPOKEN_NOW: ContextVar[Mapping[str, str]] = ContextVar("texts of the language spoken", default=ENGLISH)


def languages() -> tuple[str, ...]:
    """The languages there are, English first."""
    return (SOURCE_LANGUAGE, *sorted(file.stem for file in FOLDER.glob("*.toml")))


@cache
def texts_in(language: str) -> Mapping[str, str]:
    """Every text in this language, in English where it has none.

    Raises ValueError where there is no such language, or its file does not fit (see `faults`).
    """
    if language == SOURCE_LANGUAGE:
        return ENGLISH
    if language not in languages():
        raise ValueError(f"there are no texts in {language!r}")
    return translated(read_texts(FOLDER / f"{language}.toml"))


def read_texts(file: Path) -> dict[str, str]:
    """The ids and texts of a language's file."""
    return tomllib.loads(file.read_text(encoding="utf-8"))


def translated(texts: Mapping[str, str]) -> Mapping[str, str]:
    """English with these texts in place of its own. Raises ValueError where they do not fit."""
    found = faults(texts)
    if found:
        raise ValueError(f"{len(found)} texts do not fit: {found[0]}")
    return MappingProxyType({**ENGLISH, **texts})


def faults(texts: Mapping[str, str]) -> list[str]:
    """What is wrong with a translation: ids that are not known, and texts whose fields differ from the English."""
    wrong = [f"{text_id}: there is no text of this id" for text_id in texts if text_id not in ENGLISH]
    for text_id, text in texts.items():
        if text_id in ENGLISH and _fields(text) != _fields(ENGLISH[text_id]):
            wrong.append(f"{text_id}: the fields are {sorted(_fields(ENGLISH[text_id]))}")
    return wrong


def missing(texts: Mapping[str, str]) -> list[str]:
    """Ids a translation still lacks."""
    return [text_id for text_id in ENGLISH if text_id not in texts]


def _fields(text: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(text) if name}


@contextmanager
def speaking(texts: Mapping[str, str]) -> Iterator[None]:
    """Answer with these texts meanwhile."""
    token = _SPOKEN_NOW.set(texts)
    try:
        yield
    finally:
        _SPOKEN_NOW.reset(token)


def said(text_id: str, **fields: str) -> str:
    """The text of this id in the language now spoken, with `fields` filled in where any are given."""
    text = _SPOKEN_NOW.get()[text_id]
    return text.format_map(fields) if fields else text


def as_toml(texts: Mapping[str, str]) -> str:
    """Texts as the file of a language."""
    return "".join(
        f"{json.dumps(text_id)} = {json.dumps(text, ensure_ascii=False)}\n" for text_id, text in texts.items()
    )


if __name__ == "__main__":
    print(as_toml(ENGLISH), end="")
