"""What is counted, for a monitoring system: requests, how long they took, what was refused. Never a figure of a job.

Each process counts its own requests; several on one database are several targets to collect from.
"""

from prometheus_client import (
    CONTENT_TYPE_LATEST,
    CollectorRegistry,
    Counter,
    Gauge,
    Histogram,
    disable_created_metrics,
    generate_latest,
)
from prometheus_client.process_collector import ProcessCollector

from api.work.here import Work

__all__ = ["CONTENT_TYPE_LATEST", "Metrics"]

disable_created_metrics()

SECONDS = (0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0, 10.0)


class Metrics:
    """The counters of one service."""

    def __init__(self, version: str) -> None:
        """Begin at zero."""
        self.registry = CollectorRegistry()
        ProcessCollector(registry=self.registry)
        named = ("method", "route", "status")
        self._requests = Counter("boreworth_requests", "Requests answered", named, registry=self.registry)
        self._seconds = Histogram(
            "boreworth_request_seconds", "Time to answer", ("route",), buckets=SECONDS, registry=self.registry
        )
        self._under_way = Gauge("boreworth_requests_under_way", "Requests being answered", registry=self.registry)
        built = Gauge("boreworth_build_info", "Version that runs", ("version",), registry=self.registry)
        built.labels(version).set(1)

    def follow(self, work: Work) -> None:
        """Tell of work that is computed, as it is when somebody asks."""
        waiting = Gauge("boreworth_work_waiting_bores", "Bores that wait to be computed", registry=self.registry)
        waiting.set_function(work.waiting)
        under_way = Gauge("boreworth_work_under_way", "Pieces of work being computed", registry=self.registry)
        under_way.set_function(work.under_way)

    def begin(self) -> None:
        """Count a request that came."""
        self._under_way.inc()

    def end(self, method: str, route: str, status: int, seconds: float) -> None:
        """Count a request that was answered; `route` is the pattern of its path, never the path."""
        self._under_way.dec()
        self._requests.labels(method, route, str(status)).inc()
        self._seconds.labels(route).observe(seconds)

    def text(self) -> bytes:
        """Return all counters as a monitoring system reads them."""
        return generate_latest(self.registry)
