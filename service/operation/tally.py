"""What is counted for whoever runs the service, as Prometheus metrics. Counting is cheap; writing them out is not."""

from __future__ import annotations

from typing import Final

from prometheus_client import Counter, Gauge, Histogram

BUCKETS: Final = (0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0, 10.0, 30.0)
"""Upper bounds for the time a request takes [s]."""

REQUESTS: Final = Counter(
    "warmheap_requests", "Requests answered, by route, method and status.", ("route", "method", "status")
)
SECONDS: Final = Histogram(
    "warmheap_request_seconds",
    "Time to the end of the answer.",
    ("route",),
    buckets=BUCKETS,
)
UNDER_WAY: Final = Gauge("warmheap_requests_under_way", "Requests being answered.", multiprocess_mode="livesum")
CONNECTIONS: Final = Gauge("warmheap_connections", "Connections open.", multiprocess_mode="livesum")
CUT: Final = Counter("warmheap_connections_cut", "Connections refused or cut, by reason.", ("why",))
RULES: Final = Counter("warmheap_rules_fired", "How often each rule fired in single answers.", ("rule",))
DISAGREEMENTS: Final = Counter("warmheap_engine_disagreements", "Evaluations in which engine and plain check differed.")
PLACES: Final = Gauge("warmheap_places", "Places for heavy work.", multiprocess_mode="livesum")
IN_USE: Final = Gauge("warmheap_places_in_use", "Places for heavy work in use.", multiprocess_mode="livesum")
QUEUE: Final = Gauge("warmheap_queue", "Requests that wait for a place.", multiprocess_mode="livesum")
ENDED: Final = Counter("warmheap_work_ended", "Heavy work that was refused or ended, by reason.", ("why",))
BATCH_LINES: Final = Counter("warmheap_batch_lines", "Lines of batches answered, by kind.", ("kind",))
SIGN_INS: Final = Counter("warmheap_sign_ins_refused", "Tokens that were wrong or revoked.")
FOREIGN: Final = Counter("warmheap_foreign_pages_refused", "Requests of other sites' pages that were refused.")
STORE_BYTES: Final = Gauge("warmheap_store_bytes", "Size of the log book's file.", multiprocess_mode="mostrecent")
UNDELIVERED: Final = Gauge(
    "warmheap_webhooks_undelivered", "Messages that wait or were given up.", multiprocess_mode="mostrecent"
)
STORE_ERRORS: Final = Counter("warmheap_store_errors", "What the log book could not serve.", ("problem",))
DIED: Final = Gauge(
    "warmheap_processes_died", "Processes that served and died, or hung and were ended.", multiprocess_mode="max"
)
