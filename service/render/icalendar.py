"""Lines and texts of a calendar file (RFC 5545)."""

from __future__ import annotations

from typing import Final

LONGEST_LINE: Final = 75
"""Octets in a line without its break (RFC 5545, 3.1)."""
_ESCAPES: Final = str.maketrans({"\\": "\\\\", ";": "\\;", ",": "\\,", "\n": "\\n", "\r": None})


def escaped(text: str) -> str:
    """Text as a property value (RFC 5545, 3.3.11); control characters are left out."""
    kept = "".join(mark for mark in text.replace("\r\n", "\n") if mark == "\n" or mark.isprintable())
    return kept.translate(_ESCAPES)


def folded(line: str) -> bytes:
    """The line in pieces of at most 75 octets, never cut within a character (RFC 5545, 3.1)."""
    pieces, piece = [], b""
    for mark in line:
        octets = mark.encode()
        if len(piece) + len(octets) > LONGEST_LINE:
            pieces.append(piece)
            piece = b" "
        piece += octets
    return b"\r\n".join([*pieces, piece])


def as_file(lines: list[str]) -> bytes:
    """A whole file of these lines, folded and ended as the standard wants."""
    return b"".join(folded(line) + b"\r\n" for line in lines)
