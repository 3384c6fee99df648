"""Plain words in, plain words out: the chat, and tools for language-model clients."""

from typing import TYPE_CHECKING

from service.operation.loading import loaded_when_used

if TYPE_CHECKING:
    from service.talk import chat as chat
    from service.talk import shape as shape
    from service.talk import tools as tools
else:
    __getattr__ = loaded_when_used(__name__)
