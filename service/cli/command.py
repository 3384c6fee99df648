"""The `warmheap` command: `advise` and `explain` for one status, `serve` for everybody else."""

from __future__ import annotations

import argparse
import errno
import os
import sys
from importlib.metadata import version
from pathlib import Path

from service.cli import ask, build_sheet, chat, completion, knowledge, mcp, outlook, plans, register, screen, serving
from service.cli.common import say_short
from service.cli.parser import Parser

LARGEST_FILE = 256 * 1024
INTERRUPTED = 130
"""Exit code after Ctrl-C, as shells have it."""


def main(arguments: list[str] | None = None) -> int:
    """Run one command; the exit code is 0 with an answer, 2 with a problem on standard error or nobody to read it."""
    screen.accept_every_letter()
    parser = _parser()
    if "_ARGCOMPLETE" in os.environ:
        import argcomplete

        argcomplete.autocomplete(parser)
    options = parser.parse_args(arguments)
    if sys.stdout is None:
        screen.tell_error(screen.words("no-output"))
        return 2
    try:
        code: int = options.run(options)
        sys.stdout.flush()
    except KeyboardInterrupt:
        print(file=sys.stderr)
        return INTERRUPTED
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # or the interpreter complains as it ends
        return 2
    except OSError as error:
        return _unusable(error, options)
    except Exception as error:
        return _problem(error)
    return code


def _unusable(error: OSError, options: argparse.Namespace) -> int:
    """Say which file cannot be used, and how the command is used."""
    named = error.filename or screen.words("the-output")
    how = "unreadable" if str(named) == getattr(options, "file", None) else "unusable"
    screen.tell_error(screen.words(how, file=named, why=error.strerror or error))
    if isinstance(error, FileNotFoundError):
        screen.tell_error(options.usage().strip())
    return 2


def _problem(error: Exception) -> int:
    """Say what is wrong with what was given; whatever else it is goes on."""
    from service.answer.plain_text import problem_as_text
    from service.problems.problem import Problem

    if not isinstance(error, Problem):
        raise error
    screen.tell_error(problem_as_text(error))
    return 2


def _parser() -> argparse.ArgumentParser:
    parser = Parser(prog="warmheap", description="Ranked, reasoned advice for a heap that warms a house.")
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
    serve.add_argument("--port", type=serving.port, default=8000, help="port to listen on (default: 8000; 0: any)")
    serving.add_serve_options(serve)
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
    from service.answer.advice import advise
    from service.answer.plain_text import advice_as_text
    from service.status.reading import read_status

    answer = advise(read_status(_bytes_of(options.file)), units=options.units)
    if options.json:
        screen.put_json(answer)
    elif options.all:
        screen.say(advice_as_text(answer))
    else:
        say_short(answer)
    return 0


def _explain(options: argparse.Namespace) -> int:
    from rules import RULES
    from service.status.names import did_you_mean
    from service.status.reading import read_status
    from service.why.explanation import explain
    from service.why.plain_text import explanation_as_text

    if options.rule is not None and options.rule not in RULES:
        screen.tell_error(screen.words("no-rule", meant=did_you_mean(options.rule, RULES)))
        return 2
    explained = explain(read_status(_bytes_of(options.file)), options.rule, options.units)
    if options.json:
        screen.put_json(explained)
    else:
        screen.say(explanation_as_text(explained, in_detail=options.rule is not None))
    return 0


def _bytes_of(file: str) -> bytes:
    """At most one byte more than is allowed, so that the limit is seen to be passed without reading it all."""
    if file == "-":
        if sys.stdin is None:
            raise OSError(errno.EBADF, "standard input is closed", file)
        return sys.stdin.buffer.read(LARGEST_FILE + 1)
    with Path(file).open("rb") as stream:
        return stream.read(LARGEST_FILE + 1)
