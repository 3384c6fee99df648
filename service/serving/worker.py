"""A process that serves, started by the supervisor: `-m service.serving.worker`."""

from __future__ import annotations

import os
import signal
import sys
from typing import Final

REPORT_VARIABLE: Final = "WARMHEAP_REPORT"
KEEPER_VARIABLE: Final = "WARMHEAP_KEEPER"
DIED_VARIABLE: Final = "WARMHEAP_DIED"
"""How many processes died before this one: the supervisor, who knows, serves no metrics."""
CANNOT_START: Final = 3
"""Exit status where starting again would not help."""


def main() -> int:
    """Serve the connections that are handed over, until a signal comes or the supervisor is gone."""
    for each in (signal.SIGTERM, signal.SIGINT):  # one that comes before the server listens for it
        signal.signal(each, lambda number, frame: sys.exit(0))
    from service.operation import logs, tally
    from service.serving.connection import Line
    from service.serving.server import APP, serve

    line = Line(*map(int, os.environ.pop(KEEPER_VARIABLE).split(",")))
    report = int(os.environ.pop(REPORT_VARIABLE))
    tally.DIED.set(int(os.environ.pop(DIED_VARIABLE)))
    try:
        logs.set_up()
        serve(line, os.environ.get("WARMHEAP_APP", APP), report)
    except ValueError as error:
        print(error, file=sys.stderr)
        return CANNOT_START
    return 0


if __name__ == "__main__":
    sys.exit(main())
