"""`/piles/{pile}/webhooks`: where a pile's events are sent, signed as Standard Webhooks 1.0.0 says."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any, Final

from fastapi import APIRouter, Path, Request, Response
from starlette.concurrency import run_in_threadpool

from service import logbook
from service.api.log_book import change, json_response, read_from_store, reply_with, with_store
from service.api.piles import READS, WRITES, PileId
from service.http.access import Caller, caller_of
from service.http.body import check_is_json, read_body
from service.http.description import answer, body_of, created, problems
from service.http.parameters import check_parameters
from service.problems.problem import Problem, cut
from service.status.reading import read_model

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from service.logbook.shapes.webhooks import WebhookPage
    from service.logbook.store.repeats import KeyedReply
    from service.machines.webhooks.shape import WebhooksPage

router: Final = APIRouter(tags=["log book"])
WebhookId = Annotated[str, Path(description="Webhook id.", examples=["0006487f3b2a10a1b2c3d4e5"], alias="webhook")]


@router.get(
    "/piles/{pile}/webhooks",
    operation_id="list_webhooks",
    summary="Where this pile's events are sent",
    response_model=None,
    responses={**answer("WebhooksPage", "The webhooks."), **problems(*READS, "invalid-request")},
)
async def list_webhooks(request: Request, pile_id: PileId) -> Response:
    """Every webhook with what waits for it and the newest failures; never its secret."""
    check_parameters(request)
    account = caller_of(request).account_id

    def work(session: Session) -> WebhooksPage:
        pile = logbook.store.piles.pile_of(session, account, pile_id)
        return {
            "pile": pile.id,
            "webhooks": [
                logbook.store.webhooks.webhook_shown(session, pile, row)
                for row in logbook.store.webhooks.webhooks_of(session, pile)
            ],
        }

    return json_response(await read_from_store(work))


@router.post(
    "/piles/{pile}/webhooks",
    operation_id="add_webhook",
    summary="Send this pile's events to an address",
    description="Messages are JSON with `type`, `timestamp` and `data` (the pile as at `/piles/{pile}/now`, and what "
    "was told `before`), signed in `webhook-id`, `webhook-timestamp` and `webhook-signature` (Standard Webhooks, v1). "
    "What is not taken with a status of 2xx within 20 s is sent again with growing waits for a day; 410 disables the "
    "webhook. Redirects are not followed. A message may come twice: drop ids you have seen.",
    response_class=Response,
    status_code=201,
    responses={**created("NewWebhookPage", "The webhook with its secret."), **problems(*WRITES, "too-many")},
    openapi_extra=body_of("NewWebhookBody", "The receiver."),
)
async def add_webhook(request: Request, pile_id: PileId) -> Response:
    """Judge the address, make a secret, and tell the pile's advice as the first message."""
    from service.machines.webhooks.shape import NewWebhookBody

    check_is_json(request)
    body = await read_body(request)
    given = read_model(body, NewWebhookBody, "A webhook")
    await run_in_threadpool(_check_target, given.url)

    def work(session: Session, caller: Caller) -> KeyedReply:
        from service.machines.webhooks.signing import new_secret

        pile = logbook.store.piles.pile_of(session, caller.account_id, pile_id, to_change=True)
        events = list(dict.fromkeys(given.events))
        row = logbook.store.webhooks.add_webhook(
            session, pile, given.url, events, secret=new_secret(), now=logbook.book.now_utc()
        )
        return reply_with(
            {**logbook.store.webhooks.webhook_shown(session, pile, row), "secret": row.secret}, pile.id, 201
        )

    return await change(request, body, work)


@router.get(
    "/piles/{pile}/webhooks/{webhook}",
    operation_id="get_webhook",
    summary="One webhook with its failures",
    response_model=None,
    responses={**answer("WebhookPage", "The webhook."), **problems(*READS)},
)
async def get_webhook(request: Request, pile_id: PileId, webhook_id: WebhookId) -> Response:
    """What waits, what was taken, and the newest messages with trouble."""
    account = caller_of(request).account_id

    def work(session: Session) -> WebhookPage:
        pile = logbook.store.piles.pile_of(session, account, pile_id)
        return logbook.store.webhooks.webhook_shown(
            session, pile, logbook.store.webhooks.webhook_of(session, pile, webhook_id)
        )

    return json_response(await read_from_store(work))


@router.post(
    "/piles/{pile}/webhooks/{webhook}/retry",
    operation_id="retry_webhook",
    summary="Send again what was given up",
    response_class=Response,
    responses={**answer("RetriedPage", "What is sent again."), **problems(*READS, "storage-full", "key-reused")},
)
async def retry_webhook(request: Request, pile_id: PileId, webhook_id: WebhookId) -> Response:
    """Enable the webhook if it was disabled, and send every message that was given up from the first attempt on."""

    def work(session: Session, caller: Caller) -> KeyedReply:
        pile = logbook.store.piles.pile_of(session, caller.account_id, pile_id, to_change=True)
        again = logbook.store.webhooks.retry_failed(
            session, logbook.store.webhooks.webhook_of(session, pile, webhook_id), logbook.book.now_utc()
        )
        return reply_with({"webhook": webhook_id, "again": again}, pile.id)

    return await change(request, b"", work)


@router.delete(
    "/piles/{pile}/webhooks/{webhook}",
    operation_id="delete_webhook",
    summary="Send no more to an address",
    response_model=None,
    responses={**answer("DeletedPage", "It is gone."), **problems(*READS, "storage-full")},
)
async def delete_webhook(request: Request, pile_id: PileId, webhook_id: WebhookId) -> Response:
    """Delete the webhook with its secret and all that waits for it."""
    account = caller_of(request).account_id

    def work(store: Any) -> bool | None:
        with store.writing() as session:
            logbook.store.webhooks.delete_webhook(
                session,
                logbook.store.webhooks.webhook_of(
                    session, logbook.store.piles.pile_of(session, account, pile_id, to_change=True), webhook_id
                ),
            )
        wiped: bool | None = store.wipe() if store.is_sqlite else None
        return wiped

    return json_response({"deleted": webhook_id, "wiped": await with_store(work)})


def _check_target(url: str) -> None:
    """Refuse addresses that would not be sent to. They are judged again at each attempt."""
    from service.machines.webhooks.guard import RefusedError, allowed_networks, target_of

    try:
        target_of(url, allowed_networks())
    except RefusedError as refused:
        error = {"pointer": "/url", "detail": f"{refused}.", "read": cut(url), "allowed": "a public https address"}
        raise Problem("invalid-request", f"/url: {refused}.", [error]) from None
