"""What was understood of a message, and what was not."""

from __future__ import annotations

from dataclasses import dataclass, field

from service.talk.chat.reading import HeardValue


@dataclass(frozen=True, slots=True)
class Unread:
    """Words of a message that were not read, and why; `aside` where they were no report at all."""

    text: str
    why: str
    aside: bool = False


@dataclass(slots=True)
class Heard:
    """What was understood, in order, what was not, slips of the hand set right, and fields that nobody can tell."""

    understood: list[HeardValue] = field(default_factory=list)
    unread: list[Unread] = field(default_factory=list)
    mended: list[tuple[str, str]] = field(default_factory=list)
    untold: list[str] = field(default_factory=list)
    language: str | None = None
    """The language other than English that the message is in: then nothing of it is read."""
