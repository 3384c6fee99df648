"""A pile's file written entry by entry, so that a log of any length takes little memory; the same bytes as at once."""

from __future__ import annotations

import io
from collections.abc import Iterator, Mapping
from typing import IO, Any, Literal

from pydantic_core import to_json
from sqlalchemy.orm import Session

from service.logbook.formats.flat_table import write_table
from service.logbook.store.exchange import damage_of_head, entries_of, head_of
from service.logbook.store.models import PileRow


def write_export(session: Session, pile: PileRow, kind: Literal["json", "csv"], out: IO[bytes]) -> None:
    """Write all of one pile to `out`, as JSON or as a table."""
    damaged = damage_of_head(pile)
    file = {**head_of(pile), **entries_of(session, pile, damaged)}
    if kind == "csv":
        text = io.TextIOWrapper(out, encoding="utf-8", newline="", write_through=True)
        write_table({**file, "damaged": damaged}, text)
        text.detach()
    else:
        _write_json(file, damaged, out)


def _write_json(file: Mapping[str, Any], damaged: list[dict[str, str]], out: IO[bytes]) -> None:
    before = b"{"
    for name, value in file.items():
        out.write(before + to_json(name) + b":")
        before = b","
        if isinstance(value, Iterator):
            _write_list(value, out)
        else:
            out.write(to_json(value))
    out.write(b',"damaged":' + to_json(damaged) + b"}" if damaged else b"}")


def _write_list(entries: Iterator[Any], out: IO[bytes]) -> None:
    before = b"["
    for entry in entries:
        out.write(before + to_json(entry))
        before = b","
    out.write(b"[]" if before == b"[" else b"]")
