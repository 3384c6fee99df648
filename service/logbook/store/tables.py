"""Whether the tables are ours and hold values of their own kinds: SQLite takes any value anywhere, and triggers."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Any, Final

from sqlalchemy import (
    Boolean,
    Column,
    Connection,
    Float,
    Integer,
    LargeBinary,
    create_engine,
    func,
    literal_column,
    or_,
    select,
    text,
)
from sqlalchemy.orm import Session

from rules.catalogue import said
from service.logbook.store.models import Base, Instant
from service.problems.problem import cut

MOST_NAMED: Final = 20
"""Rows of one table named for values of another kind; of more their number is told."""
_PARTS: Final = text("SELECT type, name, sql FROM sqlite_master WHERE name NOT LIKE 'sqlite~_%' ESCAPE '~'")
_TRIGGERS: Final = text("SELECT trigger_name FROM information_schema.triggers WHERE trigger_schema = current_schema()")
_WHOLE: Final = (Integer, Instant, Boolean)


def foreign_parts(session: Session) -> Iterator[str]:
    """What of the tables, indexes, triggers and views is not as this service makes it."""
    if session.get_bind().dialect.name != "sqlite":
        yield from (said("check.trigger", name=cut(name)) for name in session.scalars(_TRIGGERS))
        return
    found, ours = _parts_in(session.connection()), _our_parts()
    for kind, name in sorted(found.keys() - ours.keys()):
        yield said("check.foreign", kind=kind, name=cut(name))
    for kind, name in sorted(ours.keys() - found.keys()):
        yield said("check.missing", kind=kind, name=name)
    for kind, name in sorted(ours.keys() & found.keys()):
        if ours[kind, name] != found[kind, name]:
            yield said("check.other", kind=kind, name=name)


def other_kinds(session: Session) -> Iterator[str]:
    """Rows with a value of another kind than its column's; a server sees to that by itself."""
    if session.get_bind().dialect.name != "sqlite":
        return
    for table in Base.metadata.sorted_tables:
        other = {column.name: _is_other(column) for column in table.columns}
        named = [literal_column("rowid"), *(wrong.label(name) for name, wrong in other.items())]
        wrong_rows = select(*named).select_from(table).where(or_(*other.values()))
        for row in session.execute(wrong_rows.limit(MOST_NAMED)).mappings():
            columns = ", ".join(name for name in other if row[name])
            yield said("check.no-value", row=str(row["rowid"]), table=table.name, columns=columns)
        count = session.scalar(select(func.count()).select_from(wrong_rows.subquery())) or 0
        if count > MOST_NAMED:
            yield said("check.more-rows", count=str(count - MOST_NAMED), table=table.name)


def _is_other(column: Column[Any]) -> Any:
    kinds = ["text"]
    if isinstance(column.type, _WHOLE):
        kinds = ["integer"]
    elif isinstance(column.type, Float):
        kinds = ["real", "integer"]
    elif isinstance(column.type, LargeBinary):
        kinds = ["blob"]
    return func.typeof(column).not_in([*kinds, "null"] if column.nullable else kinds)


def _parts_in(connection: Connection) -> dict[tuple[str, str], str]:
    return {(kind, name): " ".join((sql or "").split()) for kind, name, sql in connection.execute(_PARTS)}


@cache
def _our_parts() -> dict[tuple[str, str], str]:
    """The same of an empty log book."""
    from service.logbook.store.migrations.upgrade import upgrade  # slow to load, seldom needed

    engine = create_engine("sqlite://")
    with engine.begin() as connection:
        upgrade(connection)
        parts = _parts_in(connection)
    engine.dispose()
    return parts
