"""The phone form: what it asks, how typed values become a status, and how an answer is shown."""

from typing import TYPE_CHECKING

from service.operation.loading import loaded_when_used

if TYPE_CHECKING:
    from service.page import address as address
    from service.page import entries as entries
    from service.page import render as render
    from service.page import reply as reply
else:
    __getattr__ = loaded_when_used(__name__)
