"""`warmheap serve`: who may reach it, and the processes that serve."""

from __future__ import annotations

import argparse
import contextlib
import os
import sys
import tempfile
from typing import Final

from service import logbook
from service.cli import screen
from service.cli.common import add_data_option, open_store, use_folder

PORT_TAKEN: Final = 1


def add_serve_options(serve: argparse.ArgumentParser) -> None:
    """Add the options to `serve`."""
    add_data_option(serve)
    serve.add_argument("--open", action="store_true", help="serve everybody who can reach it without a token")
    serve.add_argument(
        "--tokens", action="store_true", help="ask for tokens on this machine too: for a service behind a proxy"
    )
    serve.add_argument("--workers", type=_count, default=1, metavar="N", help="processes that serve (default: 1)")
    serve.add_argument("--metrics", metavar="[HOST:]PORT", help="serve /metrics there (host: this machine only)")
    serve.add_argument("--rate", type=int, metavar="N", help="requests a minute for each token (default: 600)")


def run(options: argparse.Namespace) -> int:
    """Serve until a signal comes; the exit code is 0, 1 where the port cannot be had, 2 where it must not start."""
    refused = settle_access(options)
    if refused:
        return refused
    from service.operation.batch_limits import default_count
    from service.operation.settings import patience, proxies
    from service.serving.refusals import broken_off
    from service.serving.supervisor import Supervisor, bound

    try:
        limits = patience()
        proxies()
        places = [(options.host, options.port)]
        if options.metrics is not None:
            places.append(_address(options.metrics))
            os.environ["WARMHEAP_METRICS_PORT"] = str(places[-1][1])
        sockets = [each for place in places for each in bound(*place)]
    except ValueError as error:
        print(error, file=sys.stderr)
        return 2
    except OSError as error:
        print(screen.words("no-listening", why=error.strerror), file=sys.stderr)
        return PORT_TAKEN
    _tell_where(options.host, sockets[0].getsockname()[1])
    with contextlib.ExitStack() as rest:
        shared = None
        os.environ.setdefault("WARMHEAP_PLACES", str(max(default_count() // options.workers, 1)))
        if options.workers > 1:
            shared = rest.enter_context(tempfile.TemporaryDirectory(prefix="warmheap-counts-"))
            os.environ["PROMETHEUS_MULTIPROC_DIR"] = shared
        return Supervisor(sockets, options.workers, limits.stop_s, broken_off(), shared).run()


def _tell_where(host: str, port: int) -> None:
    """Say where it answers; the port is the one that was found where 0 was asked for."""
    everywhere = host in ("", "0.0.0.0", "::")
    name = "127.0.0.1" if everywhere else f"[{host}]" if ":" in host else host
    where = screen.words("answers-everywhere" if everywhere else "answers-at", address=f"http://{name}:{port}")
    print(where, file=sys.stderr, flush=True)


def port(written: str) -> int:
    """A port as it is written. Raises the error of an argument where it is none."""
    if not written.isdecimal() or not 0 <= int(written) <= 65535:
        raise argparse.ArgumentTypeError("a port is a whole number up to 65535")
    return int(written)


def _count(written: str) -> int:
    count = int(written)
    if not 1 <= count <= 64:
        raise argparse.ArgumentTypeError("1 to 64 are possible")
    return count


def _address(written: str) -> tuple[str, int]:
    host, _, port = written.rpartition(":")
    if not port.isdecimal() or not 0 < int(port) < 65536:
        raise ValueError(f"--metrics wants a port, or host:port, not {written[:40]!r}")
    return host.strip("[]") or "127.0.0.1", int(port)


def settle_access(options: argparse.Namespace) -> int:
    """Settle who may reach the service; the exit code is 0, or 2 where it must not start."""
    from service.http.access import is_loopback, mode_for, settings_for
    from service.problems.problem import Problem

    use_folder(options)
    try:
        open_to_all, ask = options.open, options.tokens or not is_loopback(options.host)
        any_token = not open_to_all and ask and _any_token()
        mode = mode_for(options.host, open_to_all=open_to_all, any_token=any_token, on_loopback_too=options.tokens)
    except (ValueError, Problem) as error:
        print(error, file=sys.stderr)
        return 2
    os.environ.update(settings_for(mode, options.rate))
    return 0


def _any_token() -> bool:
    with open_store().reading() as session:
        return logbook.store.tokens.any_good(session)
