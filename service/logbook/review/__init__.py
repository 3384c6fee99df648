"""What a season of a pile came to, from its log book: heat given, work done, how forecasts and advice turned out."""

from typing import TYPE_CHECKING

from service.operation.loading import loaded_when_used

if TYPE_CHECKING:
    from service.logbook.review import forecasts as forecasts
    from service.logbook.review import season as season
else:
    __getattr__ = loaded_when_used(__name__)
