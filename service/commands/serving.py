"""What `warmheap serve` must know of the log book: where it is, and who may reach it."""

from __future__ import annotations

import argparse
import os
import sys

from service.commands.common import add_data_option, open_store, use_folder


def add_options(serve: argparse.ArgumentParser) -> None:
    """Add the options to `serve`."""
    add_data_option(serve)
    serve.add_argument("--open", action="store_true", help="serve everybody who can reach it without a token")
    serve.add_argument("--rate", type=int, metavar="N", help="requests a minute for each token (default: 600)")


def prepare(options: argparse.Namespace) -> int:
    """Settle who may reach the service; the exit code is 0, or 2 where it must not start."""
    from service.access import is_loopback, mode_for, settings_for
    from service.errors import Problem

    use_folder(options)
    try:
        any_token = not (options.open or is_loopback(options.host)) and _any_token()
        mode = mode_for(options.host, open_to_all=options.open, any_token=any_token)
    except (ValueError, Problem) as error:
        print(error, file=sys.stderr)
        return 2
    os.environ.update(settings_for(mode, options.rate))
    return 0


def _any_token() -> bool:
    from service.store.tokens import any_good

    with open_store().reading() as session:
        return any_good(session)
