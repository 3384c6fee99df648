"""What the commands write: wrapped to the terminal's width, coloured where it shows colours, in letters it knows.

Nothing is told by colour alone. A pipe or a file gets neither colours nor a width of its own.
"""

from __future__ import annotations

import codecs
import os
import re
import shutil
import sys
import textwrap
import unicodedata
from typing import IO, Any, Final

WIDTH: Final = 100
"""Characters in a line where no terminal says how many it has."""
NARROWEST: Final = 20
"""Narrower terminals are written to as if they had this many characters (our own)."""
LONGEST_LINE: Final = 2000
_PLAIN: Final = {
    "\N{DEGREE SIGN}": " deg ",
    "\N{EN DASH}": "-",
    "\N{RIGHT SINGLE QUOTATION MARK}": "'",
    "\N{LEFT DOUBLE QUOTATION MARK}": '"',
    "\N{RIGHT DOUBLE QUOTATION MARK}": '"',
    "\N{HORIZONTAL ELLIPSIS}": "...",
    "\N{MULTIPLICATION SIGN}": "x",
}
_BOLD, _WARN, _FAINT, _OFF = "\033[1m", "\033[1;33m", "\033[2m", "\033[0m"
_STYLES: Final = (
    (re.compile(r"\s*(?:Take care|Do not|Keep clear|Never)\b"), _WARN),
    (re.compile(r"\d+\. |[A-Z][^.:]{0,40}$"), _BOLD),
    (re.compile(r"\(.*\)$"), _FAINT),
)
"""How a line begins, and how it is shown where there are colours."""


def accept_every_letter() -> None:
    """Let no letter stop a command: one that the terminal does not know is written in those it knows."""
    codecs.register_error("warmheap", _in_plain_letters)
    for stream in (sys.stdout, sys.stderr):
        if stream is not None and hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="warmheap")


def _in_plain_letters(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    wanted = error.object[error.start : error.end]
    return "".join(_plain(letter) for letter in wanted), error.end


def _plain(letter: str) -> str:
    if letter in _PLAIN:
        return _PLAIN[letter]
    return unicodedata.normalize("NFKD", letter).encode("ascii", "ignore").decode() or "?"


def width(stream: IO[str] | None = None) -> int:
    """Characters in a line: those of the terminal, or of COLUMNS, else `WIDTH`."""
    stream = stream or sys.stdout
    if stream is None or not (stream.isatty() or os.environ.get("COLUMNS", "").isdecimal()):
        return WIDTH
    return max(min(WIDTH, shutil.get_terminal_size((WIDTH, 24)).columns), NARROWEST)


def has_colour(stream: IO[str] | None) -> bool:
    """Whether a stream goes to a terminal that shows colours, and nobody asked for none (no-color.org)."""
    if stream is None or not stream.isatty() or os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb":
        return False
    return sys.platform != "win32" or bool(os.environ.get("WT_SESSION") or os.environ.get("TERM"))


def words(text_id: str, **quoted: object) -> str:
    """A text of the commands by its id. The texts are loaded when the first is said."""
    from rules.catalogue import said

    return said(f"command.{text_id}", **{name: str(value) for name, value in quoted.items()})


def say(text: str, stream: IO[str] | None = None) -> None:
    """Write text line by line, each wrapped to the width and shown by how it begins."""
    stream = stream or sys.stdout
    room, colours = width(stream), has_colour(stream)
    for line in text.split("\n"):
        for shown in _wrapped(line, room):
            print(_coloured(shown, line) if colours else shown, file=stream)


def tell_error(text: str) -> None:
    """Write to standard error, what is amiss or how far the work is."""
    if sys.stderr is not None:
        say(text, sys.stderr)


def typed_line(prompt: str) -> str | None:
    """One line from the person, cut where nobody types that much; None where there are no more."""
    try:
        return input(prompt)[:LONGEST_LINE]
    except (EOFError, RuntimeError):  # the latter where standard input is closed
        print()
        return None


def put(content: bytes) -> None:
    """Write bytes as they are, such as a PDF or JSON."""
    sys.stdout.flush()
    sys.stdout.buffer.write(content if content.endswith(b"\n") else content + b"\n")
    sys.stdout.buffer.flush()


def put_json(answer: Any) -> None:
    """Write an answer as JSON; UTF-8 whatever the terminal is set to, as JSON is."""
    from pydantic_core import to_json

    put(to_json(answer, indent=2))


def _wrapped(line: str, room: int) -> list[str]:
    """A line in pieces, what follows set in a little deeper."""
    if len(line) <= room:
        return [line]
    indent = " " * min(len(line) - len(line.lstrip()) + 2, room // 3)
    wrapper = textwrap.TextWrapper(room, subsequent_indent=indent, break_on_hyphens=False)
    return wrapper.wrap(line) or [""]


def _coloured(shown: str, line: str) -> str:
    """One piece of a line, in the colour of how the line begins."""
    for begins, style in _STYLES:
        if begins.match(line):
            return f"{style}{shown}{_OFF}"
    return shown
