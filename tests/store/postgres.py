"""A real PostgreSQL server for tests, started from the system's own programs in a folder of its own."""

from __future__ import annotations

import os
import pwd
import shutil
import signal
import socket
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path

import psycopg

START_S = 60.0


def programs() -> Path | None:
    """Folder of `initdb` and `postgres`."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"), reverse=True)
    if found:
        return found[0].parent
    on_path = shutil.which("initdb")
    return Path(on_path).parent if on_path else None


def missing() -> str | None:
    """Why no server can be started here, or None."""
    if programs() is None:
        return "PostgreSQL's programs are not installed (Debian: apt-get install postgresql)"
    if os.geteuid() == 0 and _user() is None:
        return "PostgreSQL does not run as root, and there is no user `postgres`"
    return None


def _user() -> str | None:
    try:
        return pwd.getpwnam("postgres").pw_name
    except KeyError:
        return None


def _as_user() -> dict[str, object]:
    """The server refuses to run as root."""
    if os.geteuid() != 0:
        return {}
    entry = pwd.getpwnam("postgres")
    return {"user": entry.pw_uid, "group": entry.pw_gid, "extra_groups": []}


@dataclass
class Server:
    """A running server."""

    folder: Path
    port: int
    process: subprocess.Popen[bytes] | None = None
    made: list[str] = field(default_factory=list)

    @property
    def admin(self) -> str:
        """Address of its first database."""
        return f"postgresql://postgres@127.0.0.1:{self.port}/postgres"

    def new_database(self) -> str:
        """Address of a new, empty database."""
        name = f"warmheap_{len(self.made)}"
        self.made.append(name)
        with psycopg.connect(self.admin, autocommit=True) as connection:
            connection.execute(f"CREATE DATABASE {name}")
        return f"postgresql+psycopg://postgres@127.0.0.1:{self.port}/{name}"

    def start(self) -> None:
        """Start it and wait until it answers."""
        binary = programs()
        assert binary is not None
        with (self.folder / "log").open("ab") as log:
            self.process = subprocess.Popen(
                [binary / "postgres", "-D", self.folder / "db", "-p", str(self.port), "-k", self.folder,
                 "-c", "listen_addresses=127.0.0.1", "-c", "max_connections=200"],
                stdout=log, stderr=log, cwd=self.folder, **_as_user(),  # type: ignore[call-overload]
            )  # fmt: skip
        deadline = time.monotonic() + START_S
        while True:
            try:
                psycopg.connect(self.admin, connect_timeout=2).close()
                return
            except psycopg.OperationalError:
                if time.monotonic() > deadline or self.process.poll() is not None:
                    raise
                time.sleep(0.1)

    def stop(self, how: signal.Signals = signal.SIGINT) -> None:
        """End it: fast shutdown, or SIGKILL to the server and every process it started."""
        assert self.process is not None
        children = _children(self.process.pid) if how == signal.SIGKILL else []
        for pid in (self.process.pid, *children):
            with suppress(ProcessLookupError):
                os.kill(pid, how)
        self.process.wait(timeout=START_S)
        self.process = None


def _children(pid: int) -> list[int]:
    listed = Path(f"/proc/{pid}/task/{pid}/children").read_text()
    return [int(child) for child in listed.split()]


@contextmanager
def running_server() -> Iterator[Server]:
    """A server in a temporary folder, ended and removed afterwards."""
    binary = programs()
    assert binary is not None
    folder = Path(tempfile.mkdtemp(prefix="warmheap-pg-"))
    try:
        if os.geteuid() == 0:
            shutil.chown(folder, "postgres", "postgres")
        subprocess.run(
            [binary / "initdb", "-D", folder / "db", "-U", "postgres", "-A", "trust", "-E", "UTF8", "--no-sync"],
            check=True, capture_output=True, cwd=folder, **_as_user(),  # type: ignore[call-overload]
        )  # fmt: skip
        server = Server(folder, _free_port())
        server.start()
        try:
            yield server
        finally:
            if server.process is not None:
                server.stop()
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port
