"""The tools: names, words and schemas. At most six, and the whole list small."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from service.problems.fire import fire_warning
from service.problems.json_text import JsonObject
from service.problems.problem import Problem
from service.status.names import did_you_mean
from service.talk.tools import answers
from service.talk.tools.answers import Arguments, ToolAnswer, ToolResult
from service.talk.tools.asking import Ask
from service.talk.tools.results import ToolAction, ToolAdvice, ToolMix, ToolPage, ToolQuestion
from service.talk.tools.schemas import PLAIN_STATUS, STATUS, TEXT, Schema, list_schema, object_schema, schema_of

INSTRUCTIONS: Final = (
    "Advice for a heap of wood chips and manure that warms a greenhouse. Pass what the person said they read, felt and "
    "smelled; never fill in a value they did not give. If the text of an answer begins with keeping clear, say that "
    "first. Ask one question at a time."
)
EXAMPLE: Final = '{"status": {"pile": {"age": "10 weeks"}, "temperatures": {"core": "121 degF"}}}'


@dataclass(frozen=True, slots=True)
class ToolSpec:
    """One tool: its words, what goes in, what comes out, and an example that works."""

    name: str
    title: str
    description: str
    takes: Schema
    gives: Schema
    run: Callable[[Arguments], ToolAnswer]
    example: str = EXAMPLE
    asks: bool = False


def _next_question(arguments: Arguments) -> ToolAnswer:
    """The next question without a person to put it to; `said` is what the person answered."""
    ask = Ask.of(arguments)
    said = arguments.get("said")
    if isinstance(said, str) and said.strip():
        ask.take(said, ask.question())
    return ask.answer()


TOOLS: Final = (
    ToolSpec(
        "advise",
        "Advise on a heap",
        "Ranked actions for one heap with reasons, doses, cautions and a heat account. Use when its age and one core "
        "temperature are known; else use next_question. Not for planning a new heap (mix). Takes about 0.2 s. "
        f"Example: {EXAMPLE}",
        object_schema({"status": STATUS}, "status"),
        schema_of(ToolAdvice),
        answers.advise_tool,
    ),
    ToolSpec(
        "next_question",
        "Ask what helps most",
        "The one question whose answer would most change what to do first, with the reason, or enough: true. Start "
        "with an empty status. Where the client can show a form the person is asked directly and the answer is read "
        "into status; else ask in your own words and call again with said. What nobody can tell goes into skipped.",
        object_schema(
            {
                "status": PLAIN_STATUS,
                "skipped": {**list_schema(TEXT), "description": 'Fields nobody could tell, e.g. ["/smell"].'},
                "said": {
                    "type": "string",
                    "description": "The person's own words in answer; read by a grammar that never guesses a number.",
                },
            },
            "status",
        ),
        schema_of(ToolQuestion),
        _next_question,
        '{"status": {}}',
        asks=True,
    ),
    ToolSpec(
        "explain_action",
        "Explain one action",
        "One action of the advice for a status, whole: steps, doses, reasons with their sources, cautions. Use for "
        "questions like why number 2.",
        object_schema(
            {"status": PLAIN_STATUS, "action": {"type": ["integer", "string"], "description": "Rank or action id."}},
            "status",
            "action",
        ),
        schema_of(ToolAction),
        answers.explanation,
        '{"status": {"pile": {"age": 70}, "temperatures": {"core": 49}}, "action": 1}',
    ),
    ToolSpec(
        "mix",
        "Judge or propose a mix",
        "Judges a recipe against published ranges, or proposes amounts of what is on hand. Use before a heap is built "
        'or mended. Example: {"recipe": [{"material": "wood_chips", "share": 4}, {"material": "horse_manure", '
        '"share": 1}], "on_hand": [{"material": "urea", "most": "50 lb"}], "want": {"volume": "14 yd3"}}',
        {
            "type": "object",
            "properties": {
                "units": {"enum": ["metric", "us"]},
                "recipe": list_schema({"type": "object", "description": "material with share or amount"}),
                "on_hand": list_schema({"type": "object", "description": "material, at most so much"}),
                "want": {"type": "object", "description": 'e.g. {"volume": "14 yd3"}'},
                "limits": {"type": "object"},
            },
        },
        schema_of(ToolMix),
        answers.mix,
        '{"recipe": [{"material": "wood_chips", "share": 4}, {"material": "horse_manure", "share": 1}]}',
    ),
    ToolSpec(
        "look_up",
        "Look up a rule or material",
        "A rule (condition, limits, source) or a material (figures with ranges and sources) by id; without id, all "
        "ids. Materials are also found by common names.",
        object_schema({"kind": {"enum": ["rule", "material"]}, "id": TEXT}, "kind"),
        schema_of(ToolPage),
        answers.page,
        '{"kind": "material", "id": "cow manure"}',
    ),
)
BY_NAME: Final[dict[str, ToolSpec]] = {tool.name: tool for tool in TOOLS}


def run_tool(tool: ToolSpec, arguments: JsonObject) -> ToolAnswer:
    """Run a tool; a problem becomes an answer a model can act on."""
    try:
        for name in arguments:
            if name not in tool.takes["properties"]:
                near = did_you_mean(name, tool.takes["properties"])
                raise Problem("invalid-request", f"There is no such argument: {name[:60]}.{near}")
        return tool.run(arguments)
    except Problem as problem:
        return answers.refusal_answer(problem.warned(fire_warning(arguments)), tool.example)


def answered_plainly(name: str, arguments: JsonObject) -> tuple[str, ToolResult | None, bool, str]:
    """The same by the name of the tool, as plain data: text, data, whether it failed, and the rest of the text."""
    answer = run_tool(BY_NAME[name], arguments)
    return answer.text, answer.data, answer.failed, answer.more
