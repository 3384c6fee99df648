"""`warmheap mix`, `house`, `sizing` and `season`: what the addresses of these names answer, from a file."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Any, NamedTuple, cast

from service.cli import screen

if TYPE_CHECKING:
    from service.problems.json_text import JsonObject


class _Kind(NamedTuple):
    """One command: its help, what its request is called, and the least of one to begin with."""

    help: str
    what: str
    example: str


_HOUSE = '{"volume": "70 m3", "glazing": "twin_wall", "glazing_area": "85 m2", "night_target": "5 degC"}'
_WINTER = '{"start": "2025-12-01", "until": "2026-02-28"}'
_MONTHS = (
    '{"monthly": [{"month": "december", "low": -4, "high": 3}, {"month": "january", "low": -6, "high": 1}, '
    '{"month": "february", "low": -5, "high": 3}]}'
)
_KINDS = {
    "mix": _Kind(
        "judge a recipe, or propose one from what is on hand",
        "A question about a mix",
        '{"recipe": [{"material": "wood_chips", "share": "80 %"}, {"material": "horse_manure", "share": "20 %"}]}',
    ),
    "house": _Kind(
        "what a greenhouse needs through a winter, and what a heap covers",
        "A question about a house",
        f'{{"house": {_HOUSE}, "outdoor": {{"design": "-10 degC"}}}}',
    ),
    "sizing": _Kind(
        "how big a heap must be for the heat that is wanted",
        "A question about a heap",
        f'{{"heat": {{"power": "300 W"}}, "period": {_WINTER}, "outdoor": {_MONTHS}}}',
    ),
    "season": _Kind(
        "a whole winter with one heap after the other",
        "A question about a winter",
        f'{{"house": {_HOUSE}, "period": {_WINTER}, "outdoor": {_MONTHS}}}',
    ),
}
_MOST_LINES = 20
"""What a small terminal shows at once (our own)."""
_LEFT_OUT = frozenset({"headline", "id", "knowledge_version", "units", "unit", "chart"})
"""Said first, or of no use to a reader."""
_DEEPEST = 2


def add(commands: Any, read: Callable[[str], bytes]) -> None:
    """Add the commands to the subparsers of `warmheap`; `read` gives the bytes of a named file."""
    for name, kind in _KINDS.items():
        parser = commands.add_parser(
            name,
            help=kind.help,
            description=f"{kind.help[:1].upper()}{kind.help[1:]}.",
            epilog=f"to begin with:\n  echo '{kind.example}' | warmheap {name} -",
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )
        parser.add_argument("file", metavar="FILE", help="the request as JSON; - reads standard input")
        parser.add_argument("--all", action="store_true", help="print every line of it")
        parser.add_argument("--json", action="store_true", help="print the whole answer as JSON")
        parser.set_defaults(run=lambda options, name=name: _run(options, name, read))


def _run(options: argparse.Namespace, name: str, read: Callable[[str], bytes]) -> int:
    answer = _answered(name, read(options.file))
    if options.json:
        screen.put_json(answer)
    else:
        screen.say(_as_text(answer, whole=options.all))
    return 0


def _answered(name: str, body: bytes) -> JsonObject:
    from service.answer.shapes.part import AnswerPart
    from service.mix.answer import answer_mix
    from service.mix.shapes.question import MixRequest
    from service.planning.greenhouse import answer_greenhouse
    from service.planning.season import answer_season
    from service.planning.shapes.greenhouse import GreenhouseRequest
    from service.planning.shapes.season import SeasonRequest
    from service.planning.shapes.sizing import SizingRequest
    from service.planning.sizing import answer_sizing
    from service.status.reading import read_model

    ways: dict[str, tuple[Any, Callable[[Any], AnswerPart]]] = {
        "mix": (MixRequest, answer_mix),
        "house": (GreenhouseRequest, answer_greenhouse),
        "sizing": (SizingRequest, answer_sizing),
        "season": (SeasonRequest, answer_season),
    }
    model, answer = ways[name]
    return answer(read_model(body, model, _KINDS[name].what)).model_dump(by_alias=True)


def _as_text(answer: JsonObject, *, whole: bool) -> str:
    """What the answer says in words and quantities, the verdicts first."""
    lines = [str(answer["headline"]), "", *_lines(answer, "", 0)]
    shown = lines if whole else lines[:_MOST_LINES]
    rest = len(lines) - len(shown)
    return "\n".join([*shown, *([screen.words("more-lines", count=rest)] if rest else [])])


def _lines(node: JsonObject, indent: str, depth: int) -> Iterator[str]:
    from rules.catalogue import ENGLISH, said
    from service.render.numbers import quantity_in_words
    from service.render.shape import Quantity

    for name, value in node.items():
        if name in _LEFT_OUT:
            continue
        label = indent + (said(f"part.{name}") if f"part.{name}" in ENGLISH else _spelled(name))
        if isinstance(value, dict) and {"value", "low", "high", "unit"} <= value.keys():
            yield f"{label}: {quantity_in_words(cast(Quantity, value))}"
        elif isinstance(value, dict) and depth < _DEEPEST:
            below = list(_lines(value, f"{indent}   ", depth + 1))
            yield from [f"{label}:", *below] if below else []
        elif isinstance(value, str):
            yield f"{label}: {_spelled(value) if value.isidentifier() else value}"


def _spelled(name: str) -> str:
    """A name, or a word of an answer, with its words apart."""
    return name.replace("_", " ")
