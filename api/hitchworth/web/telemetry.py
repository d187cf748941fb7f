"""Traces by OpenTelemetry: a span of each request, where the extra `telemetry` is installed.

The span has the address without what callers put into it; the instrumentation that OpenTelemetry offers for ASGI would
record the address itself, and with it the token of a share link.
"""

from collections.abc import Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager
from typing import Protocol

try:
    from opentelemetry import propagate, trace
    from opentelemetry.trace import SpanKind, StatusCode
except ImportError:
    INSTALLED = False
else:
    INSTALLED = True


class Span(Protocol):
    """The span of a request: it is given its name when the route is known."""

    def end(self, method: str, route: str, status: int) -> None: ...


class _NoSpan:
    def end(self, method: str, route: str, status: int) -> None:
        """Nobody asks."""


def request_span(headers: Mapping[str, str]) -> AbstractContextManager[Span]:
    """Return a context in which the request is handled. `headers` may name the span of the caller (traceparent)."""
    return _span(headers) if INSTALLED else _no_span()


@contextmanager
def _no_span() -> Iterator[Span]:
    yield _NoSpan()


class _RequestSpan:
    def __init__(self, span: "trace.Span") -> None:
        self._span = span

    def end(self, method: str, route: str, status: int) -> None:
        self._span.update_name(f"{method} {route}")
        self._span.set_attributes(
            {"http.request.method": method, "http.route": route, "http.response.status_code": status}
        )
        if status >= 500:
            self._span.set_status(StatusCode.ERROR)


@contextmanager
def _span(headers: Mapping[str, str]) -> Iterator[Span]:
    tracer = trace.get_tracer("hitchworth")
    with tracer.start_as_current_span(
        "request",
        context=propagate.extract(headers),
        kind=SpanKind.SERVER,
        record_exception=False,  # the message of an error may repeat what was sent
        set_status_on_exception=False,
    ) as span:
        yield _RequestSpan(span)


def export_spans() -> None:
    """Send the spans of this process to a collector, by OTLP over HTTP; the OTEL_ variables say where to.

    Raises ModuleNotFoundError when the extra is not installed.
    """
    from opentelemetry.exporter.otlp.proto.http.trace_exporter import OTLPSpanExporter  # noqa: PLC0415  (an extra)
    from opentelemetry.sdk.resources import Resource  # noqa: PLC0415
    from opentelemetry.sdk.trace import TracerProvider  # noqa: PLC0415
    from opentelemetry.sdk.trace.export import BatchSpanProcessor  # noqa: PLC0415

    provider = TracerProvider(resource=Resource.create({"service.name": "hitchworth"}))
    provider.add_span_processor(BatchSpanProcessor(OTLPSpanExporter()))
    trace.set_tracer_provider(provider)
