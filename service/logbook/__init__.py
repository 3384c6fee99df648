"""The log book: what was read and done at a pile, kept, and the status it adds up to.

This is its one door: `from service import logbook`, then `logbook.book.record_advice`. The database library is loaded
when a module is first used.
"""

from typing import TYPE_CHECKING

from service.operation.loading import loaded_when_used

if TYPE_CHECKING:
    from service.logbook import book as book
    from service.logbook import difference as difference
    from service.logbook import entries as entries
    from service.logbook import formats as formats
    from service.logbook import merge as merge
    from service.logbook import review as review
    from service.logbook import shapes as shapes
    from service.logbook import store as store
else:
    __getattr__ = loaded_when_used(__name__)
