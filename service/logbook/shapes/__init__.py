"""What goes into the log book and comes out of it."""

from typing import TYPE_CHECKING

from service.operation.loading import loaded_when_used

if TYPE_CHECKING:
    from service.logbook.shapes import entry as entry
    from service.logbook.shapes import pages as pages
    from service.logbook.shapes import pile_file as pile_file
    from service.logbook.shapes import requests as requests
    from service.logbook.shapes import season_page as season_page
    from service.logbook.shapes import stored_answer as stored_answer
else:
    __getattr__ = loaded_when_used(__name__)
