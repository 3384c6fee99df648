"""Who may ask for what: checked in one place, before any route.

On loopback the log book belongs to whoever sits at the machine. A service that others can reach asks for a token
everywhere but on its public pages, unless it was started as open to all.
"""

from __future__ import annotations

import asyncio
import base64
import ipaddress
import logging
import math
import os
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal, get_args

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service import logbook
from service.http.body import problem_response
from service.http.proxies import is_sure, peer_of
from service.http.rate import DEFAULT_QUOTA, RateLimit, Ruling, WrongTokens
from service.operation import logs, tally
from service.problems.problem import Problem

if TYPE_CHECKING:
    from service.logbook.store.engine import Store

Mode = Literal["local", "tokens", "open"]
MODE_VARIABLE: Final = "WARMHEAP_ACCESS"
RATE_VARIABLE: Final = "WARMHEAP_RATE"
PUBLIC: Final = frozenset({"/", "/openapi.json", "/rules", "/materials", "/words"})
PUBLIC_BELOW: Final = ("/rules/", "/materials/", "/health/", "/page/")
FORM: Final = "/form"
ASKED_BY_FORM: Final = frozenset({FORM, "/form/told"})
"""The phone form: empty it is public; an answer needs the token, which a browser gives as a password (Basic)."""
WORK_BY_READING: Final = ASKED_BY_FORM - {FORM}
"""Addresses outside the log book where a mere GET is much work."""
METRICS: Final = "/metrics"
"""Guards itself: whoever watches the service has no account."""
LOG_BOOK: Final = ("/piles", "/feedback")
_wrong: Final = WrongTokens()
LONGEST_HOLD_S: Final = 4.0
"""A refusal is held back for so long at most; beyond that it is told how long to wait [s]."""
_CALLER: Final = "warmheap.caller"
NOBODY: Final = "nobody"
"""The account of whoever cannot be entered now; it has nothing, and no account has this id."""
_HOST: Final = re.compile(r"(\[[0-9A-Fa-f:.]+\]|[A-Za-z0-9._-]+)(?::[0-9]{0,5})?")
"""The Host header (RFC 9110, 7.2): a name, or an address of IPv6 in one pair of brackets, and a port."""
_READING: Final = frozenset({"GET", "HEAD", "OPTIONS"})
_CHALLENGE: Final = {"WWW-Authenticate": 'Bearer realm="warmheap"'}
_FORM_CHALLENGE: Final = {"WWW-Authenticate": 'Basic realm="warmheap", charset="UTF-8"'}


@dataclass(frozen=True, slots=True)
class Caller:
    """Whose piles a request may reach; `token` is None where none was needed."""

    account_id: str
    may_write: bool
    token: str | None = None


def caller_of(request: Request) -> Caller:
    """The caller the gate let in. Without a gate there is none, and this fails."""
    caller: Caller = request.scope[_CALLER]
    return caller


def holders_of(scope: Scope) -> tuple[str, ...]:
    """Under what a request holds its share of what all share: its address, and its account where it showed a token."""
    caller: Caller | None = scope.get(_CALLER)
    account = () if caller is None or caller.token is None else (f"account {caller.account_id}",)
    return account if account and not is_sure(scope) else (*account, peer_of(scope))


def is_loopback(host: str) -> bool:
    """Whether an address or name means this machine alone."""
    if host.lower().rstrip(".") == "localhost":
        return True
    try:
        address = ipaddress.ip_address(host.strip("[]").partition("%")[0])
    except ValueError:
        return False
    mapped = getattr(address, "ipv4_mapped", None)
    return bool((mapped or address).is_loopback)


def mode_for(host: str, *, open_to_all: bool, any_token: bool, on_loopback_too: bool = False) -> Mode:
    """How a service that listens on `host` guards itself; `on_loopback_too` is for one behind a proxy.

    Raises ValueError, with what to do, where others could reach it and nobody said who may.
    """
    if open_to_all:
        return "open"
    if is_loopback(host) and not on_loopback_too:
        return "local"
    if any_token:
        return "tokens"
    raise ValueError(
        f"{host} can be reached by others, and there is no token yet. Make one with `warmheap tokens make NAME`, or "
        "say `--open` if everybody who can reach it may read and change everything."
    )


class Gate:
    """Lets in who may, and counts how often each token asks."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app
        mode = os.environ.get(MODE_VARIABLE, "local")
        if mode not in get_args(Mode):
            raise ValueError(f"{MODE_VARIABLE} is none of {', '.join(get_args(Mode))}")
        self._mode = mode
        self._limit = RateLimit(int(os.environ.get(RATE_VARIABLE, DEFAULT_QUOTA)))

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one exchange."""
        if scope["type"] != "http" or not self._is_guarded(scope["path"], scope["method"]):
            await self._app(scope, receive, send)
            return
        request = Request(scope, receive)
        ruling: Ruling | None = None
        try:
            caller = await _admit(request, self._mode)
            if caller.token is not None:
                ruling = self._limit.ask(caller.token)
                _refuse_beyond(ruling)
            if is_of_log_book(scope["path"]) and request.method not in _READING and not caller.may_write:
                raise Problem("forbidden", "This token may read the log book, not change it.")
        except Problem as problem:
            headers = None if ruling is None else ruling.headers()
            await (await problem_response(request, problem, headers))(scope, receive, send)
            return
        scope[_CALLER] = caller
        if caller.token is not None:
            scope["warmheap.notes"] = {"token": caller.token}
        await self._app(scope, receive, send if ruling is None else _with_headers(send, ruling))

    def _is_guarded(self, path: str, method: str) -> bool:
        if path == METRICS:
            return False
        if self._mode != "tokens":
            return is_of_log_book(path)
        if path == FORM and method in _READING:
            return False
        return not is_same_for_all(path)


async def known_caller(request: Request) -> Caller | None:
    """Whoever asks at an address that is open to all; None where it is nobody whose piles we keep."""
    try:
        return await _admit(request, os.environ.get(MODE_VARIABLE, "local"))
    except Problem:
        return None


async def _admit(request: Request, mode: str) -> Caller:
    written = _token_in(request)
    if written is not None:
        caller = await run_in_threadpool(_caller_with, written)
        if caller is None:
            await _hold_back(request)
            raise Problem("unauthorized", "The token is wrong or was revoked.", headers=_challenge(request))
        return caller
    if mode == "tokens":
        raise Problem("unauthorized", "Send a token as `Authorization: Bearer …`.", headers=_challenge(request))
    if mode == "local":
        _refuse_strangers(request)
    return await run_in_threadpool(_home)


async def _hold_back(request: Request) -> None:
    """Note a wrong token, and let whoever sends many of them wait."""
    peer = request.client.host if request.client is not None else ""
    wait_s = _wrong.wait_s(peer_of(request.scope))
    tally.SIGN_INS.inc()
    logs.tell("sign-in refused", logging.WARNING, peer=peer, held_s=round(wait_s, 1))
    if wait_s > LONGEST_HOLD_S:
        headers = {"Retry-After": str(math.ceil(wait_s))}
        raise Problem("too-many-requests", "Too many wrong tokens came from this address.", headers=headers)
    await asyncio.sleep(wait_s)


def is_same_for_all(path: str) -> bool:
    """Whether an address tells everybody the same."""
    return path in PUBLIC or path.startswith(PUBLIC_BELOW)


def is_of_log_book(path: str) -> bool:
    """Whether an address belongs to the log book."""
    return any(path == part or path.startswith(part + "/") for part in LOG_BOOK)


def _token_in(request: Request) -> str | None:
    given = request.headers.get("authorization")
    if given is None:
        return None
    scheme, _, token = given.partition(" ")
    if scheme.lower() == "basic" and request.url.path in ASKED_BY_FORM:
        return _password(token.strip())
    if scheme.lower() != "bearer":
        raise Problem("unauthorized", "Send the token as `Authorization: Bearer …`.", headers=_challenge(request))
    return token.strip()


def _password(encoded: str) -> str:
    """The password of Basic (RFC 7617); whatever cannot be read is no token."""
    try:
        return base64.b64decode(encoded, validate=True).decode().partition(":")[2].strip()
    except ValueError:
        return ""


def _challenge(request: Request) -> dict[str, str]:
    return _FORM_CHALLENGE if request.url.path in ASKED_BY_FORM else _CHALLENGE


def _refuse_strangers(request: Request) -> None:
    """Without a token only this machine is served, and only under its own name: a page elsewhere cannot borrow it."""
    if not _is_here(request):
        detail = "Without a token the log book is only for this machine, under the name localhost or 127.0.0.1."
        raise Problem("forbidden", detail)


def _is_here(request: Request) -> bool:
    peer = request.client.host if request.client is not None else "localhost"
    return is_loopback(peer) and is_named_here(request.headers.get("host", ""))


def is_named_here(host: str) -> bool:
    """Whether a Host header is strictly a name of this machine alone."""
    named = _HOST.fullmatch(host)
    return named is not None and is_loopback(named[1])


def is_only_here() -> bool:
    """Whether the service is only for this machine."""
    return os.environ.get(MODE_VARIABLE, "local") == "local"


def is_at_this_machine(request: Request) -> bool:
    """Whether the service is only for this machine, and the request comes from it."""
    return is_only_here() and _is_here(request)


def _refuse_beyond(ruling: Ruling) -> None:
    if not ruling.passes:
        detail = f"This token may ask {ruling.quota} times a minute; wait {ruling.resets_in_s} seconds."
        raise Problem("too-many-requests", detail)


def _caller_with(written: str) -> Caller | None:
    with _store().reading() as session:
        found = logbook.store.tokens.account_and_scope(session, written)
    if found is None:
        return None
    account_id, scope, token_id = found
    return Caller(account_id, scope == "owner", token_id)


def _home() -> Caller:
    """The account of whoever sits at the machine, made on first use."""
    store = _store()
    with store.reading() as session:
        account = logbook.store.piles.find_account(session, logbook.store.piles.HOME)
    if account is not None:
        return Caller(account.id, may_write=True)
    try:
        with store.writing() as session:
            account = logbook.store.piles.account_named(session, logbook.store.piles.HOME, logbook.book.now_utc())
        return Caller(account.id, may_write=True)
    except Problem as problem:
        if not problem.slug.startswith("storage-"):
            raise
        return Caller(NOBODY, may_write=True)  # reading never needs writing: whoever is not there yet has no piles


def _store() -> Store:
    return logbook.store.engine.the_store()


def _with_headers(send: Send, ruling: Ruling) -> Send:
    fields: list[tuple[bytes, bytes]] = [(name.encode(), value.encode()) for name, value in ruling.headers().items()]

    async def send_on(message: Message) -> None:
        if message["type"] == "http.response.start":
            message = {**message, "headers": [*message["headers"], *fields]}
        await send(message)

    return send_on


def settings_for(mode: Mode, rate: int | None) -> dict[str, str]:
    """The environment that tells every worker how to guard itself."""
    return {MODE_VARIABLE: mode} if rate is None else {MODE_VARIABLE: mode, RATE_VARIABLE: str(rate)}
