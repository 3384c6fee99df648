"""No sentence that a person reads is written in code: it stands in the catalogue, and code says it by its id."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from rules.catalogue import ENGLISH
from tests.each import each
from tests.test_layers import parsed

ROOT = Path(__file__).parent.parent
PACKAGES = sorted(folder.name for folder in (ROOT / "service").iterdir() if (folder / "__init__.py").is_file())
SPOKEN_WORDS = 3
WORD = re.compile(r"[A-Za-z]{2,}(?=[ ,.:;?]|$)")
"""A text of so many words is one that a person reads."""
PUT_TOGETHER = re.compile(r"[A-Za-z]{3,}(?=[:,;.?]? )|(?<=[ ({])[A-Za-z]{3,}")
"""Of a text with fields one word beside a space is enough: `Read: {told}`."""
ASKED = re.compile(r"[a-z]{2,} [a-z ]+\?$")
"""A short question."""

REFUSALS: Final = {
    "units": "quantities that cannot be read",
    "problems": "what a problem says",
    "status": "statuses that cannot be",
    "operation": "help of counts, what is missing before an installation, log lines",
    "work": "work that found no place",
    "logbook/entries.py": "entries that cannot be kept",
    "logbook/merge.py": "logs that hold too little",
    "logbook/formats": "tables and packs that cannot be read",
    **dict.fromkeys(
        [
            f"logbook/store/{name}.py"
            for name in (
                "faults",
                "feedback",
                "repeats",
                "schema_version",
                "timeline",
                "backup",
                "file_rows",
                "exchange",
            )
        ],
        "requests that the log book cannot serve now, and files that cannot be taken",
    ),
    "logbook/store/readiness.py": "why the log book is not ready",
    **dict.fromkeys([f"logbook/store/{name}.py" for name in ("engine", "sqlite_file")], "SQL"),
    "batch": "lines that cannot be used, clusters that cannot be reached",
    "http": "requests that cannot be served",
    "serving": "bytes that are no request",
    "api": "descriptions of the interface, requests that cannot be served",
}
"""Places that say nothing but why something is refused or fails (details of problems, in English), and why it is so."""
HEARD: Final = {
    *("talk/chat/days.py", "talk/chat/headings.py", "talk/chat/limits.py", "talk/chat/meaning_change.py"),
    *("talk/chat/plain_text.py", "talk/chat/essentials.py", "talk/chat/typos.py", "talk/chat/corrections.py"),
}
"""Modules of what people write to the chat, in their own words."""
SHAPES: Final = re.compile(r"/shapes?/|/(?:\w+_)?shapes?\.py$")
"""Modules of shapes: what they say describes the interface."""
NOT_SAID: Final = {
    "SQL": ("SELECT ",),
    "headers of answers": ("default-src", "Accept, ", "{}; charset"),
    "fonts and rules of style": ("'Liberation Sans'", "system-ui, ", "@media "),
    "values of a status, as they are sent": ("{} short_ton", "{} min/h", "{} days"),
    "faults of code": ("must lie between", "the table of temperatures has no day"),
    "details of problems": (
        *('kind is "rule"', "status, an object,", "This address is not whole", "--broker: ", "This advice is damaged"),
        *(". Did you mean", " Did you mean", " Known: "),
    ),
    "descriptions of tools, for models": ("Advice for a heap of wood chips", "What is known of the heap. ", "As for "),
    "descriptions of parts of schemas": ("units of the answer",),
    "names in the order of a programme": ("best {}",),
    "the version, as the command's own parser prints it": ("warmheap {}",),
    "templates of the hub": ("{{ {true:",),
    "sources in examples": ("Richard and Trautmann, ",),
}
"""How texts begin that nobody reads as an answer, by what they are."""
_NOT_SAID: Final = tuple(start for starts in NOT_SAID.values() for start in starts)

DESCRIPTIONS: Final = {"description", "examples", "pattern", "help", "epilog", "summary", "openapi_extra"}
"""Keywords whose texts describe the interface, or how a command is used."""
UNSPOKEN_CALLS: Final = {
    "details of problems (RFC 9457), for whoever sent what cannot be used": {
        *("refused", "Problem", "problem", "_refuse_unless", "_check_mass", "read_model", "RefusedError", "MCPError"),
    },
    "faults of code and of the machine, for whoever runs it": {
        *("OSError", "ValueError", "TypeError", "RuntimeError", "KeyError", "LookupError", "AttributeError"),
        *("ArgumentError", "ArgumentTypeError", "AssertionError"),
    },
    "lines of the operator's log": {"debug", "info", "warning", "error", "exception", "critical", "log"},
    "descriptions of the interface and of what a model may call": {"Field", "ToolSpec", "answer", "problems", "Query"},
    "sources, and why numbers are as they are": {"Source", "figure", "figures"},
    "names of units, patterns": {"_measure", "_Kind", "compile", "sub", "fullmatch", "match", "search"},
}
"""Calls whose texts nobody reads as an answer, by reason."""
_CALLS: Final = frozenset(name for names in UNSPOKEN_CALLS.values() for name in names)


def _name(node: ast.AST) -> str:
    return str(getattr(node, "id", getattr(node, "attr", "")))


def spoken(node: ast.AST) -> Iterator[tuple[int, str]]:
    """Texts of a piece of code that a person would read, with their lines."""
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
        return  # a docstring
    if isinstance(node, ast.keyword) and node.arg in DESCRIPTIONS:
        return
    if isinstance(node, ast.Call) and _name(node.func) in _CALLS:
        return
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        if " " in node.value and (len(WORD.findall(node.value)) >= SPOKEN_WORDS or ASKED.search(node.value)):
            yield node.lineno, node.value
        return
    if isinstance(node, ast.JoinedStr):
        text = "".join(str(part.value) if isinstance(part, ast.Constant) else "{}" for part in node.values)
        if " " in text and PUT_TOGETHER.search(text):
            yield node.lineno, text
        for part in node.values:
            if isinstance(part, ast.FormattedValue):
                yield from spoken(part.value)
        return
    for child in ast.iter_child_nodes(node):
        yield from spoken(child)


def _read_by_a_person(module: Path) -> bool:
    place = module.relative_to(ROOT / "service").as_posix()
    if place in HEARD or SHAPES.search(f"/{place}"):
        return False
    return not any(place == refusing or place.startswith(f"{refusing}/") for refusing in REFUSALS)


@each(PACKAGES)
def test_no_sentence_is_written_beside_the_catalogue(package: str) -> None:
    found = [
        f"{module.relative_to(ROOT)}:{line}: {text!r}"
        for module in sorted((ROOT / "service" / package).rglob("*.py"))
        if _read_by_a_person(module)
        for line, text in spoken(parsed(module))
        if not text.startswith(_NOT_SAID)
    ]
    assert found == [], "put it into a module of sentences below rules/tables, and say it by its id"


def test_sentences_beside_the_catalogue_are_seen() -> None:
    code = (
        'A = "Too dry for now."\nB = f"Take {things} of it now"\nC = refused("no such thing here")\nD = "a b"\n'
        'E = f"Read: {told}."\nF = "of what?"\nG = f"{one} {two}"\n_LOG.info("nothing new for now")'
    )
    assert [line for line, _ in spoken(ast.parse(code))] == [1, 2, 5, 6]


def test_what_is_let_be_is_there() -> None:
    """An exception that nothing needs any more goes."""
    service = ROOT / "service"
    assert [place for place in (*REFUSALS, *HEARD) if not (service / place).exists()] == []
    modules = [module for module in service.rglob("*.py") if _read_by_a_person(module)]
    texts = [text for module in modules for _, text in spoken(parsed(module))]
    assert [start for start in _NOT_SAID if not any(text.startswith(start) for text in texts)] == []


def _ids_said(module: Path) -> Iterator[str]:
    """Ids of texts that a module says by their whole names."""
    for node in ast.walk(parsed(module)):
        if not isinstance(node, ast.Call) or not node.args or not isinstance(node.args[0], ast.Constant):
            continue
        start = {"said": "", "words": "command.", "_back": "said-back."}.get(_name(node.func))
        if start is not None and isinstance(node.args[0].value, str):
            yield f"{start}{node.args[0].value}"


def test_what_is_said_is_in_the_catalogue() -> None:
    modules = [module for module in (ROOT / "service").rglob("*.py") if module.name != "saying.py"]
    said = {text_id for module in modules for text_id in _ids_said(module)}
    assert len(said) > 300
    assert said - set(ENGLISH) == set()
