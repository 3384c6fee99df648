"""Models of the chat and of the next question, for the description of the interface."""

from __future__ import annotations

from typing import Any, Final

from pydantic import BaseModel

from service.questions.shape import NextQuestion, QuestionRequest
from service.talk.shape import ChatMessage, ChatReply, ChatText

INCOMING: Final[tuple[type[BaseModel], ...]] = (ChatMessage, QuestionRequest)
OUTGOING: Final[tuple[type[Any], ...]] = (ChatReply, ChatText, NextQuestion)
