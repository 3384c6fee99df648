"""Forms in which readings come and whole piles go: tables and records of sensors."""

from typing import TYPE_CHECKING

from service.operation.loading import loaded_when_used

if TYPE_CHECKING:
    from service.logbook.formats import columns as columns
    from service.logbook.formats import csv_readings as csv_readings
    from service.logbook.formats import flat_table as flat_table
    from service.logbook.formats import senml as senml
else:
    __getattr__ = loaded_when_used(__name__)
