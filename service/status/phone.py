"""A telephone number as people write it."""

from __future__ import annotations

import re
from typing import Final

from pydantic import AfterValidator

from service.status.quantities import refused

_WRITTEN: Final = re.compile(r"\+?[0-9][0-9 ()/.-]{0,18}[0-9]")


def _phone_number(text: str) -> str:
    """The number with its marks. Raises the refusal of a validator where it is none."""
    if _WRITTEN.fullmatch(text.strip()) is None:
        raise refused("a telephone number is digits, with a + before them if need be", read=text[:40], allowed="999")
    return text.strip()


PHONE_NUMBER: Final = AfterValidator(_phone_number)
