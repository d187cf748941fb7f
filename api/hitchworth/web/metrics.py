"""What the server counts, for Prometheus. Labels are addresses of the API without what callers put into them."""

from collections.abc import Iterator
from importlib.metadata import version
from typing import NamedTuple, get_args

from prometheus_client import CollectorRegistry, Counter, Gauge, Histogram, generate_latest
from prometheus_client.core import CounterMetricFamily, Metric
from prometheus_client.gc_collector import GCCollector
from prometheus_client.process_collector import ProcessCollector
from prometheus_client.registry import Collector

from hitchworth.operations.renderings import Rendering
from hitchworth.operations.webhook_delivery import Result
from hitchworth.web.operation import Operation
from hitchworth.web.server_state import ServerState

AS_COUNTS = Rendering("text", "text/plain; version=0.0.4", lambda content: content)
"""The text format of Prometheus."""

_SECONDS = (0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0, 10.0, 30.0, 60.0)


class AnsweredRequest(NamedTuple):
    """A request as it is counted and logged."""

    method: str
    route: str
    status: int
    """0: the caller was gone before there was an answer."""
    seconds: float
    received: int
    """Bytes of the body of the request."""
    sent: int
    """Bytes of the body of the answer."""


class Metrics:
    """The counts of one application."""

    def __init__(self, server: ServerState) -> None:
        self._registry = CollectorRegistry()
        ProcessCollector(registry=self._registry)
        GCCollector(registry=self._registry)
        by_route = ("method", "route")
        self._requests = Counter(
            "hitchworth_requests", "Requests that were answered.", (*by_route, "status"), registry=self._registry
        )
        self._seconds = Histogram(
            "hitchworth_request_seconds",
            "Time from request to answer.",
            by_route,
            buckets=_SECONDS,
            registry=self._registry,
        )
        self._received = Counter(
            "hitchworth_received_bytes", "Bytes of bodies that were received.", by_route, registry=self._registry
        )
        self._sent = Counter(
            "hitchworth_sent_bytes", "Bytes of bodies that were sent.", by_route, registry=self._registry
        )
        Gauge("hitchworth_requests_in_flight", "Requests in work.", registry=self._registry).set_function(
            lambda: server.in_flight
        )
        Gauge(
            "hitchworth_computations_running", "Computations in processes of their own.", registry=self._registry
        ).set_function(lambda: server.workers.running if server.workers else 0)
        Gauge(
            "hitchworth_computations_waiting", "Computations that wait for a process.", registry=self._registry
        ).set_function(lambda: server.workers.waiting if server.workers else 0)
        Gauge("hitchworth_info", "The version of the server.", ("version",), registry=self._registry).labels(
            version("hitchworth")
        ).set(1)

        self._registry.register(_Messages(server))

    def record(self, request: AnsweredRequest) -> None:
        """Count one request."""
        route = (request.method, request.route)
        self._requests.labels(*route, str(request.status)).inc()
        self._seconds.labels(*route).observe(request.seconds)
        self._received.labels(*route).inc(request.received)
        self._sent.labels(*route).inc(request.sent)

    def text(self) -> bytes:
        """Return all counts in the text format of Prometheus."""
        return generate_latest(self._registry)


class _Messages(Collector):
    """The messages to webhooks, as the process counts them while it sends."""

    def __init__(self, server: ServerState) -> None:
        self._server = server

    def collect(self) -> Iterator[Metric]:
        """Yield the count of each result, also of those that have not come up."""
        metric = CounterMetricFamily(
            "hitchworth_webhook_messages", "Attempts to send a message to a webhook, by result.", labels=("result",)
        )
        for result in get_args(Result):
            metric.add_metric((result,), self._server.messages[result])
        yield metric


def metrics_operation(metrics: Metrics) -> Operation:
    """Return the operation that answers with the counts: to anybody on loopback, else to a caller with a key.

    It is not in the description of the API, which is for its callers.
    """

    def get_metrics() -> bytes:
        """Get what the server counts."""
        return metrics.text()

    return Operation(
        method="GET",
        path="/metrics",
        tag="Service",
        function=get_metrics,
        renderings=(AS_COUNTS,),
        scope="read",
        probe=True,
    )
