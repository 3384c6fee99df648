"""`warmheap completion`: what makes a shell complete the commands and their options."""

from __future__ import annotations

import argparse
from typing import Any

_BASH = """_warmheap() {{
  local word="${{COMP_WORDS[COMP_CWORD]}}"
  case "${{COMP_WORDS[1]}}" in
{cases}
    *) COMPREPLY=($(compgen -W "{names}" -- "$word")) ;;
  esac
  if [ "$COMP_CWORD" -gt 1 ]; then COMPREPLY+=($(compgen -f -- "$word")); fi
}}
complete -F _warmheap warmheap
"""
_ZSH = "autoload -U +X bashcompinit && bashcompinit\n"


def add(commands: Any) -> None:
    """Add the command to the subparsers of `warmheap`."""
    parser = commands.add_parser("completion", help="print what makes a shell complete this command")
    parser.add_argument("shell", choices=["bash", "zsh"], help='use it as: eval "$(warmheap completion bash)"')
    parser.set_defaults(run=lambda options: _run(options, commands.choices))


def _run(options: argparse.Namespace, known: dict[str, argparse.ArgumentParser]) -> int:
    cases = "\n".join(
        f'    {name}) COMPREPLY=($(compgen -W "{" ".join(_options(parser))}" -- "$word")) ;;'
        for name, parser in sorted(known.items())
    )
    script = _BASH.format(cases=cases, names=" ".join(sorted(known)))
    print((_ZSH if options.shell == "zsh" else "") + script, end="")
    return 0


def _options(parser: argparse.ArgumentParser) -> list[str]:
    return sorted(option for option in parser._option_string_actions if option.startswith("--"))
