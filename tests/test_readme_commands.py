"""Every shell block of the README and of those beside the packages, pasted into an interactive bash and zsh.

It is done line by line in a fresh clone.

The first block installs; the others run on what it installed. A server, a broker and a cluster are started where a
block speaks to one, and its address is put in. The second block, which runs all tests, is run by `.ci/run` alone.
"""

from __future__ import annotations

import contextlib
import os
import re
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
FENCE = re.compile(r"```sh\n(.*?)```", re.DOTALL)
SUBJECTS = ("api", "batch", "talk", "logbook", "planning", "machines")
DOCUMENTS = ["README.md", "service/README.md", *(f"service/{subject}/README.md" for subject in SUBJECTS)]
BLOCKS = list(dict.fromkeys(block for name in DOCUMENTS for block in FENCE.findall((ROOT / name).read_text())))
INSTALL, EVERY_TEST, *OTHERS = BLOCKS
HERE = Path(sys.executable).parent
SHELLS = {"bash": ["bash", "--norc", "-i", "-s"], "zsh": ["zsh", "-f", "-i", "-s"]}
RUNS_ON = ("warmheap serve", "warmheap hub")
"""Commands that go on until they are ended."""


def free_port() -> int:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port: int = free.getsockname()[1]
    return port


def wait_for(port: int, seconds: float = 60) -> None:
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        with contextlib.suppress(OSError), socket.create_connection(("127.0.0.1", port), 1):
            return
        time.sleep(0.1)
    raise AssertionError(f"nothing listens on {port}")


@contextlib.contextmanager
def running(*command: str | Path, port: int) -> Iterator[None]:
    with subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as process:
        try:
            wait_for(port)
            yield
        finally:
            process.terminate()
            process.wait(30)


@dataclass
class Clone:
    """A fresh clone in which the first block was run, and the port of the service that runs from it."""

    folder: Path
    port: int


@pytest.fixture(scope="module")
def clone(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Clone]:
    folder = tmp_path_factory.mktemp("fresh") / "warmheap"
    subprocess.run(["git", "clone", "-q", "--no-hardlinks", ROOT, folder], check=True)
    changes = subprocess.run(["git", "-C", ROOT, "diff", "HEAD"], check=True, capture_output=True).stdout
    if changes:
        subprocess.run(["git", "-C", folder, "apply"], input=changes, check=True)
    installed = pasted("bash", INSTALL, folder)
    assert installed.returncode == 0, installed.stderr
    assert "1. Add water, today." in installed.stdout
    port = free_port()
    with running(folder / ".venv/bin/warmheap", "serve", "--port", str(port), port=port):
        yield Clone(folder, port)


def pasted(shell: str, block: str, folder: Path) -> subprocess.CompletedProcess[str]:
    """Run a block as if it were pasted at the prompt; any line that fails ends it with its code."""
    home = folder.parent / f"home of {shell}"
    home.mkdir(exist_ok=True)
    clean = {"HOME": str(home), "XDG_DATA_HOME": str(home / "data"), "PATH": os.environ["PATH"], "TERM": "dumb"}
    kept = {name: value for name, value in os.environ.items() if name.startswith(("PIP_", "SSL_", "HTTP", "http"))}
    return subprocess.run(
        SHELLS[shell],
        input=f"set -e\n{block}\nexit 0\n",
        cwd=folder,
        env={**kept, **clean},
        capture_output=True,
        text=True,
        timeout=400,
        check=False,
    )


def addressed(block: str, clone: Clone, broker: int, scheduler: int) -> str:
    """The block with the addresses of what runs here; extras are those of the tests' own environment."""
    if "warmheap hub" in block or "--scheduler" in block:
        block = block.replace(".venv/bin/", f"{HERE}/")
    block = block.replace("127.0.0.1:8000", f"127.0.0.1:{clone.port}").replace("curl -s", "curl -sf")
    block = block.replace("mqtt://me@hub.lan", f"mqtt://127.0.0.1:{broker}")
    block = block.replace("tcp://10.0.0.5:8786", f"tcp://127.0.0.1:{scheduler}")
    block = block.replace("--host 0.0.0.0", f"--host 127.0.0.1 --port {free_port()}")
    block = re.sub(r"--metrics \d+", f"--metrics {free_port()}", block)
    return "\n".join(_line(line) for line in block.split("\n"))


def _line(line: str) -> str:
    """A command that goes on is ended after a while; the example of a batch holds a bad line, which is told by 1."""
    if any(each in line for each in RUNS_ON):
        return f"timeout --preserve-status -s INT 8 {line}"
    return f"{line} || [ $? = 1 ]" if "warmheap batch" in line else line


@pytest.fixture(scope="module")
def broker(tmp_path_factory: pytest.TempPathFactory) -> Iterator[int]:
    port = free_port()
    found = shutil.which("mosquitto", path=f"{os.environ['PATH']}:/usr/sbin")
    if found is None:
        yield 0
        return
    settings = tmp_path_factory.mktemp("broker") / "conf"
    settings.write_text(f"listener {port} 127.0.0.1\nallow_anonymous true\n")
    with running(found, "-c", settings, port=port):
        yield port


@pytest.fixture(scope="module")
def scheduler() -> Iterator[int]:
    port = free_port()
    dask = [sys.executable, "-m", "dask"]
    with running(*dask, "scheduler", "--host", "127.0.0.1", "--port", str(port), "--no-dashboard", port=port):
        address = f"tcp://127.0.0.1:{port}"
        worker = [*dask, "worker", address, "--nthreads", "1", "--no-dashboard", "--host", "127.0.0.1"]
        with running(*worker, port=port):
            yield port


@pytest.mark.slow
@pytest.mark.parametrize("shell", SHELLS)
@pytest.mark.parametrize("block", OTHERS, ids=lambda block: re.sub(r"\W+", " ", block)[:60])
def test_a_block_works_as_it_is_pasted(block: str, shell: str, clone: Clone, broker: int, scheduler: int) -> None:
    if shutil.which(shell) is None:
        pytest.skip(f"{shell} is not installed")
    if "mqtt" in block and not broker:
        pytest.skip("mosquitto is not installed")
    done = pasted(shell, addressed(block, clone, broker, scheduler), clone.folder)
    assert done.returncode == 0, done.stderr[-2000:]


def test_the_block_of_all_tests_is_run_by_ci() -> None:
    script = (ROOT / ".ci" / "run").read_text()
    assert "command: test" in script and "command: advise" in script
    assert "pytest" in EVERY_TEST and "warmheap advise" in INSTALL


def test_no_block_holds_what_a_prompt_trips_over() -> None:
    """In zsh a remark behind a command is an argument, a bare `?` or `*` a pattern; `warmheap` is not on the path."""
    for block in BLOCKS:
        bare = re.sub(r"'[^']*'|\"[^\"]*\"", "", block)
        assert not re.search(r"\s#|[?*]", bare), block
        assert not re.search(r"^warmheap", bare, re.MULTILINE), block
