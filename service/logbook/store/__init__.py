"""The log book: piles, readings, work done, advice given and what became of it, kept in SQLite or PostgreSQL.

Nothing here is imported before a route or command of the log book is first used.
"""

from typing import TYPE_CHECKING

from service.operation.loading import loaded_when_used

if TYPE_CHECKING:
    from service.logbook.store import advice as advice
    from service.logbook.store import backup as backup
    from service.logbook.store import check as check
    from service.logbook.store import choice as choice
    from service.logbook.store import columns as columns
    from service.logbook.store import damage as damage
    from service.logbook.store import engine as engine
    from service.logbook.store import exchange as exchange
    from service.logbook.store import faults as faults
    from service.logbook.store import feedback as feedback
    from service.logbook.store import file_entry as file_entry
    from service.logbook.store import file_rows as file_rows
    from service.logbook.store import models as models
    from service.logbook.store import pile_file as pile_file
    from service.logbook.store import piles as piles
    from service.logbook.store import place as place
    from service.logbook.store import readiness as readiness
    from service.logbook.store import readings as readings
    from service.logbook.store import repeats as repeats
    from service.logbook.store import schema_version as schema_version
    from service.logbook.store import sqlite_file as sqlite_file
    from service.logbook.store import timeline as timeline
    from service.logbook.store import tokens as tokens
    from service.logbook.store import webhook_models as webhook_models
    from service.logbook.store import webhooks as webhooks
else:
    __getattr__ = loaded_when_used(__name__)
