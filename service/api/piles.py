"""`/piles`: the piles of whoever asks, entered, changed, deleted, taken out whole and brought in again."""

from __future__ import annotations

from typing import IO, TYPE_CHECKING, Annotated, Final, Literal

from fastapi import APIRouter, Path, Query, Request, Response

from service import logbook
from service.api.log_book import (
    LogChange,
    change,
    change_with,
    json_response,
    open_store,
    read_from_store,
    reply_with,
    with_store,
)
from service.http.access import Caller, caller_of
from service.http.body import check_is_json, read_body
from service.http.description import answer, body_of, created, problems, repeatable
from service.http.parameters import check_parameters
from service.http.streams import FileResponse, body_put_aside
from service.status.reading import read_model

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from service.logbook.shapes.pages import PilesPage
    from service.logbook.store.engine import Store
    from service.logbook.store.repeats import KeyedReply

router: Final = APIRouter(tags=["log book"])
PileId = Annotated[str, Path(description="Pile id.", examples=["3f9a0c1d2e4b5a67"], alias="pile")]
_STORED: Final = ("unauthorized", "forbidden", "too-many-requests", "storage-unavailable", "storage-busy")
READS: Final = (*_STORED, "not-found")
WRITES: Final = (
    *READS,
    "malformed-json",
    "body-incomplete",
    "body-too-slow",
    "body-too-large",
    "unsupported-media-type",
    "invalid-request",
    "key-reused",
    "still-running",
    "storage-full",
)
_CSV: Final = "text/csv"


@router.get(
    "/piles",
    operation_id="list_piles",
    summary="Your piles",
    response_model=None,
    responses={**answer("PilesPage", "The piles."), **problems(*_STORED)},
)
async def list_piles(request: Request) -> Response:
    """All piles of the account of the token; without a token on this machine, of `home`."""
    account = caller_of(request).account_id

    def work(session: Session) -> PilesPage:
        piles = [
            logbook.store.piles.pile_shown(session, pile) for pile in logbook.store.piles.piles_of(session, account)
        ]
        return {"count": len(piles), "piles": piles}

    return json_response(await read_from_store(work))


@router.post(
    "/piles",
    operation_id="add_pile",
    summary="Keep a log of a pile",
    response_class=Response,
    status_code=201,
    responses={**created("PilePage", "The new pile."), **problems(*WRITES, "too-many")},
    openapi_extra=repeatable(body_of("NewPileBody", "The pile.")),
)
async def add_pile(request: Request) -> Response:
    """Enter a pile, with what is known of it already."""
    check_is_json(request)
    body = await read_body(request)
    given = read_model(body, logbook.shapes.requests.NewPileBody, "A pile")

    def prepare(store: Store, caller: Caller) -> LogChange:
        now = logbook.book.now_utc()
        about = None
        if given.about is not None:
            about = logbook.entries.read_entries(given.about, given.units, logbook.store.piles.in_zone(given.zone, now))

        def work(session: Session, caller: Caller) -> KeyedReply:
            new = logbook.store.piles.NewPile(given.name, given.units, given.zone)
            pile = logbook.store.piles.add_pile(session, caller.account_id, new, now)
            if about is not None:
                logbook.store.readings.add(session, pile, about, "json", now)
            return reply_with(logbook.store.piles.pile_shown(session, pile), pile.id, 201)

        return work

    return await change_with(request, body, prepare)


@router.get(
    "/piles/{pile}",
    operation_id="get_pile",
    summary="One pile",
    response_model=None,
    responses={**answer("PilePage", "The pile."), **problems(*READS)},
)
async def get_pile(request: Request, pile_id: PileId) -> Response:
    """The pile and how much is logged of it."""
    account = caller_of(request).account_id
    page = await read_from_store(
        lambda session: logbook.store.piles.pile_shown(session, logbook.store.piles.pile_of(session, account, pile_id))
    )
    return json_response(page)


@router.patch(
    "/piles/{pile}",
    operation_id="change_pile",
    summary="Call a pile otherwise",
    response_class=Response,
    responses={**answer("PilePage", "The pile as it is now."), **problems(*WRITES)},
    openapi_extra=repeatable(body_of("ChangedPileBody", "What changes.")),
)
async def change_pile(request: Request, pile_id: PileId) -> Response:
    """Change its name, units or time zone; what is logged stays as it was given."""
    check_is_json(request)
    body = await read_body(request)
    given = read_model(body, logbook.shapes.requests.ChangedPileBody, "A change")

    def work(session: Session, caller: Caller) -> KeyedReply:
        pile = logbook.store.piles.pile_of(session, caller.account_id, pile_id, to_change=True)
        logbook.store.piles.change_pile(session, pile, given.model_dump(exclude_none=True), logbook.book.now_utc())
        return reply_with(logbook.store.piles.pile_shown(session, pile), pile.id)

    return await change(request, body, work)


@router.delete(
    "/piles/{pile}",
    operation_id="delete_pile",
    summary="Delete a pile and all that was logged of it",
    response_model=None,
    responses={**answer("DeletedPage", "It is gone."), **problems(*READS, "storage-full")},
)
async def delete_pile(request: Request, pile_id: PileId) -> Response:
    """Delete it with its readings, work, advice and feedback, and wipe them from the file. Backups are not touched."""
    account = caller_of(request).account_id
    wiped = await with_store(lambda store: logbook.store.piles.delete_for_good(store, account, pile_id))
    return json_response({"deleted": pile_id, "wiped": wiped})


@router.get(
    "/piles/{pile}/export",
    operation_id="export_pile",
    summary="All of a pile in one file",
    response_class=Response,
    responses={
        200: {
            "description": "The file. `POST /piles/import` reads both kinds.",
            "content": {
                "application/json": {"schema": {"$ref": "#/components/schemas/PileFile"}},
                _CSV: {"schema": {"$ref": "#/components/schemas/PileTable"}},
            },
        },
        **problems(*READS, "invalid-request"),
    },
)
async def export_pile(
    request: Request,
    pile_id: PileId,
    format_: Annotated[
        Literal["json", "csv"], Query(alias="format", description="Kind of file.", examples=["csv"])
    ] = "json",
) -> Response:
    """Everything that was logged, so that nothing is lost when it is brought in again."""
    check_parameters(request, "format")
    account = caller_of(request).account_id

    def write(file: IO[bytes]) -> dict[str, str]:
        with open_store().reading() as session:
            pile = logbook.store.piles.pile_of(session, account, pile_id)
            logbook.store.pile_file.write_export(session, pile, format_, file)
            return {"content-disposition": f'attachment; filename="pile-{pile.id}.{format_}"'}

    return FileResponse(write, "application/json" if format_ == "json" else f"{_CSV}; header=present")


@router.post(
    "/piles/import",
    operation_id="import_pile",
    summary="Bring in a pile from a file",
    response_class=Response,
    status_code=201,
    responses={**created("PilePage", "The pile that was made."), **problems(*WRITES, "too-many")},
    openapi_extra=repeatable(body_of("PileFile", "A file made by an export.", {_CSV: "PileTable"})),
)
async def import_pile(request: Request) -> Response:
    """Make a pile from a file. It keeps its ids where they are free."""
    is_table = request.headers.get("content-type", "").partition(";")[0].strip().lower() == _CSV
    if not is_table:
        check_is_json(request)
    async with body_put_aside(request, logbook.store.file_rows.LARGEST_FILE) as body:

        def prepare(store: Store, caller: Caller) -> LogChange:
            now = logbook.book.now_utc()
            rows = logbook.store.file_rows.read_file(body, now, is_table=is_table)

            def work(session: Session, caller: Caller) -> KeyedReply:
                pile = logbook.store.exchange.bring_in(session, caller.account_id, rows, now)
                return reply_with(logbook.store.piles.pile_shown(session, pile), pile.id, 201)

            return work

        return await change_with(request, body, prepare, is_heavy=True)
