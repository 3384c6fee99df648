"""`warmheap hub`: piles on a home-automation hub, by MQTT."""

from __future__ import annotations

import argparse
import os
import signal
import sys
from contextlib import suppress
from typing import Any, Final

from service.cli import screen
from service.cli.common import account_of, add_options, open_store

PASSWORD_VARIABLE: Final = "WARMHEAP_BROKER_PASSWORD"


def add(commands: Any) -> None:
    """Add the command."""
    parser = commands.add_parser(
        "hub",
        help="tell a home-automation hub of your piles, and log its readings, by MQTT",
        epilog="Readings come in at warmheap/PILE/readings (JSON) and warmheap/PILE/readings/core (a value).",
    )
    parser.add_argument(
        "--broker", required=True, metavar="URL", help=f"mqtt://user@host:1883 or mqtts://host; {PASSWORD_VARIABLE}"
    )
    parser.add_argument("--prefix", default="homeassistant", help="the hub's discovery prefix")
    parser.add_argument("--every", type=float, default=60.0, metavar="S", help="tell states so often (default: 60)")
    parser.add_argument(
        "--form",
        choices=["device", "entities"],
        default="device",
        help="how to announce: entities for hubs older than 2024.11",
    )
    parser.add_argument("--remove", action="store_true", help="take the piles off the hub and end")
    add_options(parser, _hub)


def _hub(options: argparse.Namespace) -> int:
    import asyncio
    import logging

    try:
        from service.machines.hub.bridge import Bridge, Manner, broker_at
    except ModuleNotFoundError:
        print(screen.words("no-mqtt"), file=sys.stderr)
        return 2
    try:
        broker = broker_at(options.broker, os.environ.get(PASSWORD_VARIABLE))
    except ValueError as error:
        print(f"--broker: {error}", file=sys.stderr)
        return 2
    logging.basicConfig(level=logging.WARNING, format="%(message)s")
    manner = Manner(options.every, options.prefix, options.form)
    store = open_store()
    account = account_of(store, options.account)

    async def run() -> None:
        bridge = Bridge(store, account, broker, manner)
        await (bridge.remove() if options.remove else bridge.run())

    # A process started in the background has SIGINT ignored, and a service manager ends one by SIGTERM: heed both.
    for number in (signal.SIGINT, signal.SIGTERM):
        signal.signal(number, signal.default_int_handler)
    with suppress(KeyboardInterrupt):
        asyncio.run(run())
    return 0
