"""A process of a place that loads nothing before it is asked: `-m tests.work.cold`. It starts quickly."""

from __future__ import annotations

from service.work import worker

if __name__ == "__main__":
    worker._warm_up = lambda: None
    worker.main()
