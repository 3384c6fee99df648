"""A batch on an existing Dask cluster: each block is a task, and what a lost worker had is done again by another."""

from __future__ import annotations

import asyncio
from typing import IO, TYPE_CHECKING, Final

from rules.version import knowledge_version
from service.batch.answers import answer_block, refuse_block
from service.batch.blocks import AnsweredBlock, Block
from service.batch.files import BatchProgress, TellProgress, answer_file
from service.problems.problem import Problem

if TYPE_CHECKING:
    from distributed import Client

ATTEMPTS: Final = 3
BLOCKS_PER_THREAD: Final = 3
"""Tasks that wait or run for each thread of the cluster, so that none is idle between two."""
CONNECT_S: Final = 15.0
"""How long the scheduler may take to answer, and a first worker to be there [s]."""


class ClusterError(Exception):
    """The cluster cannot be used; says why."""


async def answer_on_cluster(source: IO[bytes], sink: IO[bytes], scheduler: str, tell: TellProgress) -> BatchProgress:
    """Answer a file on the cluster whose scheduler is at this address, such as `tcp://10.0.0.5:8786`.

    Raises
    ------
    ClusterError
        If it cannot be reached, has no workers, or a worker has not the same knowledge as this machine.
    """
    from distributed import Client

    client = Client(scheduler, asynchronous=True, timeout=CONNECT_S, set_as_default=False)
    try:
        try:
            await client
        except (OSError, ValueError) as error:
            raise ClusterError(f"{scheduler} cannot be reached: {error}") from None
        threads = await _checked(client)

        async def answer(block: Block) -> AnsweredBlock:
            return await _answered(client, block)

        return await answer_file(source, sink, answer, under_way=BLOCKS_PER_THREAD * threads, tell=tell)
    finally:
        await client.close()


async def _checked(client: Client) -> int:
    """Threads of the cluster, once its workers are known to answer as this machine does."""
    try:
        await client.wait_for_workers(1, timeout=CONNECT_S)
    except TimeoutError:
        raise ClusterError("the cluster has no workers") from None
    threads: int = sum((await client.nthreads()).values())
    try:
        versions = await client.run(knowledge_version)
    except Exception as error:
        raise ClusterError(f"a worker of the cluster cannot run warmheap: {error}") from None
    others = sorted(address for address, version in versions.items() if version != knowledge_version())
    if others:
        raise ClusterError(f"{others[0]} has another version of the knowledge; install the same warmheap everywhere")
    return threads


async def _answered(client: Client, block: Block) -> AnsweredBlock:
    """One block as a task, tried again where it fails; at last a problem for each of its lines."""
    future = client.submit(answer_block, block, pure=False, retries=ATTEMPTS - 1)
    try:
        answered: AnsweredBlock = await future
    except asyncio.CancelledError:
        future.release()
        raise
    except Exception as error:
        detail = f"The cluster could not answer this line ({type(error).__name__}); send it again."
        return refuse_block(block, Problem("service-unavailable", detail))
    return answered
