"""The bridge between the log book and an MQTT broker, in a process of its own.

It announces every pile of an account, tells its state again and again, and logs readings that come in. States are not
retained and expire: a hub must never show an old value as if it were of now.
"""

from __future__ import annotations

import asyncio
import contextlib
import json
import logging
import random
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final
from urllib.parse import unquote, urlsplit

import aiomqtt

from service.logbook.store.engine import Store
from service.logbook.store.piles import piles_of
from service.machines.hub.discovery import BASE, BRIDGE, OFFLINE, ONLINE, PREFIX, Form, Topics, messages, removal
from service.machines.hub.messages import Inbox
from service.machines.hub.now import now_of
from service.machines.hub.shape import PileNow
from service.problems.json_text import JsonObject
from service.problems.problem import Problem

EXPIRES_AFTER_ROUNDS: Final = 3
LONGEST_WAIT_S: Final = 60.0
BIRTH_DELAY_S: Final = 3.0
"""After a hub's birth everything is told again after up to this time, so that not all devices talk at once."""
_READINGS: Final = f"{BASE}/+/readings"
_VALUES: Final = f"{BASE}/+/readings/+"
_LOG: Final = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Broker:
    """Where the broker is, and who the bridge is there."""

    host: str
    port: int
    user: str | None
    password: str | None
    is_tls: bool


def broker_at(url: str, password: str | None = None) -> Broker:
    """Read `mqtt://user@host:1883` or `mqtts://host`. Raises ValueError, with what is wanted, for anything else."""
    parts = urlsplit(url)
    if parts.scheme not in ("mqtt", "mqtts") or not parts.hostname or parts.path not in ("", "/"):
        raise ValueError("a broker is written like mqtt://user@host:1883 or mqtts://host")
    is_tls = parts.scheme == "mqtts"
    given = None if parts.password is None else unquote(parts.password)
    user = None if parts.username is None else unquote(parts.username)
    return Broker(parts.hostname, parts.port or (8883 if is_tls else 1883), user, password or given, is_tls)


@dataclass(frozen=True, slots=True)
class Manner:
    """How the bridge behaves: how often it tells [s], under which prefix, and in which form it announces."""

    every_s: float = 60.0
    prefix: str = PREFIX
    form: Form = "device"
    jitter: Callable[[], float] = random.random


class Bridge:
    """Tells the piles of one account to one broker until it is cancelled."""

    def __init__(self, store: Store, account_id: str, broker: Broker, manner: Manner) -> None:
        self._store, self._account, self._broker, self._manner = store, account_id, broker, manner
        self._inbox = Inbox(store, account_id)
        self._announced: dict[str, dict[str, bytes]] = {}
        self._news = asyncio.Event()

    async def run(self) -> None:
        """Stay connected; a broker that is away is told once, and tried again with growing waits."""
        wait, is_down = 1.0, False
        while True:
            try:
                async with self._client() as client:
                    _LOG.warning("connected to %s:%d", self._broker.host, self._broker.port)
                    wait, is_down = 1.0, False
                    await self._serve(client)
            except aiomqtt.MqttError as error:
                if not is_down:
                    _LOG.warning("%s:%d cannot be reached: %s", self._broker.host, self._broker.port, error)
                is_down = True
                await asyncio.sleep(wait)
                wait = min(2 * wait, LONGEST_WAIT_S)

    async def remove(self) -> None:
        """Take every pile of the account off the hub."""
        async with self._client() as client:
            for pile in await asyncio.to_thread(self._piles):
                for topic in removal(pile, self._manner.prefix):
                    await client.publish(topic, b"", qos=1, retain=True)
            await client.publish(BRIDGE, OFFLINE, qos=1, retain=True)

    def _client(self) -> aiomqtt.Client:
        return aiomqtt.Client(
            self._broker.host,
            self._broker.port,
            username=self._broker.user,
            password=self._broker.password,
            tls_params=aiomqtt.TLSParameters() if self._broker.is_tls else None,
            will=aiomqtt.Will(BRIDGE, OFFLINE, qos=1, retain=True),
            keepalive=30,
        )

    async def _serve(self, client: aiomqtt.Client) -> None:
        """Listen and tell; when the connection breaks or the task is cancelled both end."""
        for topic in (_READINGS, _VALUES, f"{self._manner.prefix}/status"):
            await client.subscribe(topic, qos=1)
        self._announced.clear()
        listening = asyncio.create_task(self._listen(client))
        telling = asyncio.create_task(self._tell_again_and_again(client))
        try:
            done, _ = await asyncio.wait((listening, telling), return_when=asyncio.FIRST_COMPLETED)
            for task in done:
                task.result()
        finally:
            await _end(listening, telling)
            with contextlib.suppress(aiomqtt.MqttError):
                await client.publish(BRIDGE, OFFLINE, qos=1, retain=True)

    async def _tell_again_and_again(self, client: aiomqtt.Client) -> None:
        while True:
            self._news.clear()
            pages = await asyncio.to_thread(self._pages)
            if pages is not None:
                await self._tell(client, pages)
            with contextlib.suppress(TimeoutError):
                async with asyncio.timeout(self._manner.every_s):
                    await self._news.wait()

    async def _tell(self, client: aiomqtt.Client, pages: list[PileNow]) -> None:
        """Announce what is new or gone, then tell every state."""
        expire_s = max(round(EXPIRES_AFTER_ROUNDS * self._manner.every_s), 1)
        for gone in self._announced.keys() - {page["pile"] for page in pages}:
            del self._announced[gone]
            for topic in removal(gone, self._manner.prefix):
                await client.publish(topic, b"", qos=1, retain=True)
        for page in pages:
            told = messages(page, self._manner.prefix, expire_s, self._manner.form)
            if self._announced.get(page["pile"]) != told:
                for topic, payload in told.items():
                    await client.publish(topic, payload, qos=1, retain=True)
                self._announced[page["pile"]] = told
        await client.publish(BRIDGE, ONLINE, qos=1, retain=True)
        for page in pages:
            topics = Topics(page["pile"], self._manner.prefix)
            await client.publish(topics.availability, ONLINE if page["available"] else OFFLINE, qos=1, retain=True)
            if page["action"] is not None:  # without it there is nothing to tell, and what was told expires
                await client.publish(topics.state, json.dumps(page), qos=1)

    async def _listen(self, client: aiomqtt.Client) -> None:
        async for message in client.messages:
            topic, payload = str(message.topic), bytes(message.payload or b"")
            if topic == f"{self._manner.prefix}/status":
                if payload == ONLINE.encode():
                    await asyncio.sleep(BIRTH_DELAY_S * self._manner.jitter())
                    self._announced.clear()
                    self._news.set()
            elif message.retain:
                _LOG.warning("%s: a retained reading has no known age and is left out", topic)
            else:
                await self._log(client, topic, payload)

    async def _log(self, client: aiomqtt.Client, topic: str, payload: bytes) -> None:
        _, pile, _, *name = topic.split("/")
        answer: JsonObject
        try:
            words = await asyncio.to_thread(self._inbox.take, pile, name[0] if name else None, payload)
            answer = {"ok": True, "detail": words}
            self._news.set()
        except Problem as problem:
            answer = {"ok": False, **problem.as_dict()}
            _LOG.warning("%s: %s", topic, problem.detail)
        await client.publish(f"{BASE}/{pile}/answer", json.dumps(answer), qos=1)

    def _piles(self) -> list[str]:
        with self._store.reading() as session:
            return [pile.id for pile in piles_of(session, self._account)]

    def _pages(self) -> list[PileNow] | None:
        """Every pile now; None where the log book cannot be used: then nothing is told, and states expire."""
        try:
            return [now_of(self._store, self._account, pile) for pile in self._piles()]
        except Problem as problem:
            _LOG.warning("the log book: %s", problem.detail)
            return None


async def _end(*tasks: asyncio.Task[None]) -> None:
    """Cancel until they end: `asyncio.wait_for` of Python 3.11, used by the library, may swallow a cancellation."""
    running = set(tasks)
    while running:
        for task in running:
            task.cancel()
        _, running = await asyncio.wait(running, timeout=0.5)
    await asyncio.gather(*tasks, return_exceptions=True)
