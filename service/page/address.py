"""What was typed as a part of an address, so that an answer can be gone back to, kept, and asked for again.

Nothing is kept at the service: the address holds all of it, packed.
"""

from __future__ import annotations

import base64
import binascii
import zlib
from typing import Final
from urllib.parse import urlencode

from service.page.entries import LARGEST_FORM, TOLD, Typed, first, read_typed
from service.page.measures import UNIT
from service.problems.problem import Problem

ANSWER: Final = "/form/told"
"""Where the answer to what was told is."""
PART: Final = "t"
LONGEST: Final = 6000
"""Characters; proxies take 8 kB for a line with its headers apart (common practice, no source)."""
_RAW: Final = -15
"""A deflated stream with neither head nor sum (RFC 1951)."""
_UNREADABLE: Final = "This address is not whole. Open the form, and tell it again."


def address_letters(typed: Typed) -> str:
    """What was typed, in letters that an address may hold."""
    pairs = [(name, value) for name, values in typed.items() for value in values]
    packer = zlib.compressobj(9, zlib.DEFLATED, _RAW)
    return base64.urlsafe_b64encode(packer.compress(urlencode(pairs).encode()) + packer.flush()).decode().rstrip("=")


def address_of(typed: Typed) -> str | None:
    """The address of the answer to what was typed; None where it would be too long for an address."""
    text = address_letters(typed)
    return f"{ANSWER}?{PART}={text}" if len(text) <= LONGEST else None


def unpacked(text: str) -> Typed:
    """What was typed and packed.

    Raises
    ------
    Problem
        If it is none of ours, or holds more than a form may.
    """
    try:
        content = base64.b64decode(text + "=" * (-len(text) % 4), altchars=b"-_", validate=True)
        unpacker = zlib.decompressobj(_RAW)
        body = unpacker.decompress(content, LARGEST_FORM + 1)
    except (ValueError, binascii.Error, zlib.error):
        raise Problem("invalid-request", _UNREADABLE) from None
    if not unpacker.eof or len(body) > LARGEST_FORM:
        raise Problem("invalid-request", _UNREADABLE)
    return read_typed(body)


def read_posted(body: bytes) -> Typed:
    """What was posted: by the form, or by a question below an answer, which sends along what was told before.

    Raises
    ------
    Problem
        If no browser could have sent it.
    """
    typed = read_typed(body)
    before = first(typed, TOLD)
    now = {name: values for name, values in typed.items() if name != TOLD}
    if not before:
        return now
    replaced = {*now, *(name + UNIT for name in now)}
    return {name: values for name, values in unpacked(before).items() if name not in replaced} | now
