"""The `warmheap` command: `advise` and `explain` for one status, `serve` for everybody else."""

from __future__ import annotations

import argparse
import os
import sys
from importlib.metadata import version
from pathlib import Path

from service.cli import ask, build_sheet, chat, completion, knowledge, mcp, outlook, plans, register, serving

LARGEST_FILE = 256 * 1024
INTERRUPTED = 130
"""Exit code after Ctrl-C, as shells have it."""


def main(arguments: list[str] | None = None) -> int:
    """Run one command; the exit code is 0 with an answer, 2 with a problem on standard error or nobody to read it."""
    options = _parser().parse_args(arguments)
    try:
        code: int = options.run(options)
        sys.stdout.flush()
    except KeyboardInterrupt:
        print(file=sys.stderr)
        return INTERRUPTED
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # or the interpreter complains as it ends
        return 2
    return code


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="warmheap", description="Ranked, reasoned advice for a heap that warms a house."
    )
    parser.add_argument("--version", action="version", version=f"warmheap {version('warmheap')}")
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    advise = commands.add_parser("advise", help="advise on one status, a JSON file or - for standard input")
    advise.add_argument("file", metavar="FILE", help="a status as JSON; - reads standard input")
    advise.add_argument("--all", action="store_true", help="print everything: steps, reasons, sources, figures")
    advise.add_argument("--json", action="store_true", help="print the whole answer as JSON")
    advise.add_argument("--units", choices=["us", "metric"], help="answer in these units; bare numbers keep the file's")
    advise.set_defaults(run=_advise)
    explain = commands.add_parser("explain", help="say why a status gets its answer, rule by rule")
    explain.add_argument("file", metavar="FILE", help="a status as JSON; - reads standard input")
    explain.add_argument("rule", metavar="RULE", nargs="?", help="one rule id, with every test it makes")
    explain.add_argument("--json", action="store_true", help="print the whole explanation as JSON")
    explain.add_argument("--units", choices=["us", "metric"], help="explain in these units")
    explain.set_defaults(run=_explain)
    serve = commands.add_parser("serve", help="answer over HTTP")
    serve.add_argument("--host", default="127.0.0.1", help="address to listen on (default: this machine only)")
    serve.add_argument("--port", type=int, default=8000, help="port to listen on (default: 8000)")
    serving.add_options(serve)
    serve.set_defaults(run=serving.run)
    outlook.add(commands, _bytes_of)
    build_sheet.add(commands, _bytes_of)
    ask.add(commands, _bytes_of)
    chat.add(commands)
    plans.add(commands, _bytes_of)
    completion.add(commands)
    mcp.add(commands)
    knowledge.add(commands)
    register(commands)
    return parser


def _advise(options: argparse.Namespace) -> int:
    from pydantic_core import to_json

    from service.answer.advice import advise
    from service.answer.plain_text import ALL, as_text, brief_as_text, problem_as_text
    from service.problems.problem import Problem
    from service.status.reading import read_status

    try:
        status = read_status(_bytes_of(options.file))
        answer = advise(status, units=options.units)
    except OSError as error:
        print(f"{options.file} cannot be read: {error.strerror}", file=sys.stderr)
        return 2
    except Problem as problem:
        print(problem_as_text(problem), file=sys.stderr)
        return 2
    if options.json:
        print(to_json(answer, indent=2).decode())
    else:
        print(as_text(answer) if options.all else f"{brief_as_text(answer)}\n({ALL})")
    return 0


def _explain(options: argparse.Namespace) -> int:
    from pydantic_core import to_json

    from rules import RULES
    from service.answer.plain_text import problem_as_text
    from service.problems.problem import Problem
    from service.status.names import did_you_mean
    from service.status.reading import read_status
    from service.why.explanation import explain
    from service.why.plain_text import explanation_as_text

    if options.rule is not None and options.rule not in RULES:
        print(f"There is no rule of this id.{did_you_mean(options.rule, RULES)}", file=sys.stderr)
        return 2
    try:
        explained = explain(read_status(_bytes_of(options.file)), options.rule, options.units)
    except OSError as error:
        print(f"{options.file} cannot be read: {error.strerror}", file=sys.stderr)
        return 2
    except Problem as problem:
        print(problem_as_text(problem), file=sys.stderr)
        return 2
    in_detail = options.rule is not None
    print(
        to_json(explained, indent=2).decode() if options.json else explanation_as_text(explained, in_detail=in_detail)
    )
    return 0


def _bytes_of(file: str) -> bytes:
    """At most one byte more than is allowed, so that the limit is seen to be passed without reading it all."""
    if file == "-":
        return sys.stdin.buffer.read(LARGEST_FILE + 1)
    with Path(file).open("rb") as stream:
        return stream.read(LARGEST_FILE + 1)
