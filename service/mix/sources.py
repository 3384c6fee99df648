"""Sources as they go out with mixes and plans."""

from __future__ import annotations

from collections.abc import Iterable

from rules.language.model import Source
from service.mix.shapes.sources import NoteTold, SourceTold


def mix_source_shown(source: Source) -> SourceTold:
    """Kind, citation and how well it is known."""
    return SourceTold(kind=source.kind.value, cite=source.cite, how_known=source.how_known.value, where=source.where)


def notes_shown(told: Iterable[tuple[str, Source]]) -> list[NoteTold]:
    """Sentences with who says so."""
    return [NoteTold(text=text, source=mix_source_shown(source)) for text, source in told]
