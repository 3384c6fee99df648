"""Tools for language-model clients, over the Model Context Protocol."""

from typing import TYPE_CHECKING

from service.operation.loading import loaded_when_used

if TYPE_CHECKING:
    from service.talk.tools import answers as answers
    from service.talk.tools import asking as asking
    from service.talk.tools import schemas as schemas
    from service.talk.tools import server as server
    from service.talk.tools import table as table
else:
    __getattr__ = loaded_when_used(__name__)
