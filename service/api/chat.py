"""`POST /chat`: plain words in, plain words out, for any bot or gateway of text messages."""

from __future__ import annotations

from datetime import UTC, datetime
from functools import cache, partial
from secrets import token_urlsafe
from typing import TYPE_CHECKING, Annotated, Any, Final, Literal

from fastapi import APIRouter, Query, Request, Response
from pydantic_core import to_json

from service import talk
from service.http.accept import best_media_type
from service.http.body import check_media_type, read_body
from service.http.description import BODY_PROBLEMS, Described, Responses, problems, shape
from service.http.parameters import check_parameters
from service.problems.json_text import JsonObject, parse_json
from service.problems.problem import Problem
from service.status.reading import read_model
from service.work.places import done, in_thread

if TYPE_CHECKING:
    from service.talk.chat.conversations import Conversations
    from service.talk.chat.draft import Draft
    from service.talk.chat.turn_reply import TurnReply
    from service.talk.shape import ChatMessage, ChatState

router: Final = APIRouter(tags=["advice"])
_PARAMETERS: Final = ("conversation", "units")
_TEXT: Final = "text/plain; charset=utf-8"
_JSON: Final = "application/json"
_OFFERED: Final = ("text/plain", _JSON)
_SAID: Final = "ten weeks old, core 121 F was 133 last Sunday, crumbly dry, no smell, fan 60 cfm"
_REQUEST: Final[Described] = {
    "required": True,
    "description": "The message as text, or as JSON with the conversation's id or its state. An empty one is asked the "
    "first question.",
    "content": {
        "application/json": {
            "schema": shape("ChatMessage"),
            "examples": {
                "first": {"summary": "A first message", "value": {"text": _SAID, "conversation": "new"}},
                "resent": {
                    "summary": "Going on without an id",
                    "value": {
                        "text": "dry",
                        "state": {"status": {"pile": {"age": "10 weeks"}}, "asked": "/moisture_feel"},
                    },
                },
            },
        },
        "text/plain": {"schema": {"type": "string", "maxLength": 2000}, "example": _SAID},
    },
}
_REPLY: Final[Responses] = {
    200: {
        "description": "The reply: text, or JSON where `Accept` asks for it.",
        "content": {
            "application/json": {"schema": shape("ChatReply")},
            "text/plain": {"schema": shape("ChatText")},
        },
    }
}


@router.post(
    "/chat",
    operation_id="post_chat",
    summary="Talk about one pile in plain words",
    description="A small grammar reads the message: what was understood is said back, what was not is named and never "
    "guessed at, and one best question follows. `why 2` explains action 2, `don't know` is an answer. A message that "
    "speaks of fire is answered with that first.",
    response_class=Response,
    responses={
        **_REPLY,
        **problems(*BODY_PROBLEMS, "invalid-status"),
    },
    openapi_extra={"requestBody": _REQUEST},
)
async def post_chat(
    request: Request,
    conversation: Annotated[
        str | None,
        Query(description="Id of the conversation, where the body is text.", examples=["new"]),
    ] = None,
    units: Annotated[
        Literal["metric", "us"] | None,
        Query(description="How numbers of degrees are read that say neither °C nor °F.", examples=["us"]),
    ] = None,
) -> Response:
    """Read the message, take one turn, and write the reply."""
    check_parameters(request, *_PARAMETERS)
    check_media_type(request, _OFFERED, "Send the message as text/plain or application/json, in UTF-8, not packed.")
    wanted = best_media_type(request, _OFFERED)
    message = _message(request, await read_body(request), conversation, units)
    reply = await in_thread(partial(_answer, message))
    if wanted == _JSON:
        return Response(to_json(reply), media_type=_JSON)
    headers = {"x-conversation": reply["conversation"]} if reply["conversation"] else None
    return Response(reply["text"], media_type=_TEXT, headers=headers)


def _message(request: Request, body: bytes, conversation: str | None, units: str | None) -> ChatMessage:
    """The message, from text with query parameters or from JSON, whose own words go before those."""
    given = _given(request, body)
    if isinstance(given, dict):
        parameters = {"conversation": conversation, "units": units}
        given |= {name: value for name, value in parameters.items() if value is not None and given.get(name) is None}
        text = given.get("text")
        if isinstance(text, str):
            message = read_model({**given, "text": ""}, talk.shape.ChatMessage, "A message")
            return message.model_copy(update={"text": cleaned(text)})
    return read_model(given, talk.shape.ChatMessage, "A message")


def _given(request: Request, body: bytes) -> Any:
    """The body as data; plain text is a message by itself."""
    if request.headers["content-type"].partition(";")[0].strip().lower() == _JSON:
        return parse_json(body)
    try:
        return {"text": body.decode("utf-8")}
    except UnicodeDecodeError as error:
        raise Problem("invalid-request", f"The message is not UTF-8: byte {error.start} cannot be read.") from None


def cleaned(text: str) -> str:
    """The text without control characters, which say nothing.

    Raises Problem where it is too long, as it came or once every character is written in its plain form.
    """
    if talk.chat.plain_text.is_too_long(text, talk.shape.LONGEST_MESSAGE):
        detail = f"The message is longer than {talk.shape.LONGEST_MESSAGE} characters, joined ones counted one by one."
        raise Problem("invalid-request", detail, [{"pointer": "/text", "detail": detail}])
    return "".join(mark if mark == "\n" or mark.isprintable() else " " for mark in text)


@cache
def _conversations() -> Conversations:
    return talk.chat.conversations.Conversations()


def _answer(message: ChatMessage) -> JsonObject:
    """One turn in the conversation the message belongs to."""
    name = token_urlsafe(18) if message.conversation == "new" else message.conversation
    if name is None:
        draft = talk.chat.draft.Draft() if message.state is None else _draft_of(message.state)
        return _turn(message, draft, None)
    with _conversations().draft(name) as kept:
        return _turn(message, kept, name)


def _turn(message: ChatMessage, draft: Draft, name: str | None) -> JsonObject:
    """One turn, worked out in a place; what was told goes into the draft."""
    if message.units is not None and draft.system is None:
        draft.status["units"] = message.units
    now = message.as_of or datetime.now(UTC).replace(microsecond=0)
    shown: JsonObject = done(turned, draft, message.text, now, name)
    draft.become(shown["state"])
    return shown


def turned(draft: Draft, text: str, now: datetime, name: str | None) -> JsonObject:
    """The reply to one message, and what has been told by then."""
    return _shown(talk.chat.talk.turn(draft, text, now), draft, name)


def _draft_of(state: ChatState) -> Draft:
    told = state.model_dump(mode="json")
    waiting = [talk.chat.reading.HeardValue(item["pointer"], item["value"]) for item in told.pop("waiting")]
    return talk.chat.draft.Draft.of(told.pop("status"), **told, waiting=waiting)


def _shown(reply: TurnReply, draft: Draft, name: str | None) -> JsonObject:
    return {
        "text": reply.text,
        "keep_clear": reply.keep_clear,
        "understood": reply.understood,
        "unread": reply.unread,
        "actions": reply.actions,
        "question": reply.question,
        "conversation": name,
        "state": draft.as_state(),
    }
