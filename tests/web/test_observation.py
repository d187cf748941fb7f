"""What the server tells of its requests: an id, a line in the log, counts, a span; and nothing that callers sent."""

import importlib
import io
import json
import logging
import re
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import msgspec
import pytest
from litestar.testing import TestClient
from opentelemetry import trace
from opentelemetry.sdk.trace import TracerProvider
from opentelemetry.sdk.trace.export import SimpleSpanProcessor
from opentelemetry.sdk.trace.export.in_memory_span_exporter import InMemorySpanExporter

from hitchworth.operations import appraisals
from hitchworth.operations.settings import Settings
from hitchworth.web import telemetry
from hitchworth.web.app import create_app
from hitchworth.web.log import configure_log
from web_server import JSON, client, example

SECRETS = ("1HGCM82633A004352", "Robin Example", "hw_public_secret", "s3cr3t-query", "birch-camper")


@contextmanager
def logged(settings: Settings, monkeypatch: pytest.MonkeyPatch) -> Iterator[io.StringIO]:
    """Everything that is logged meanwhile."""
    before = logging.root.handlers[:], logging.root.level
    stream = io.StringIO()
    monkeypatch.setattr(sys, "stderr", stream)
    monkeypatch.setattr(logging.getLogger("httpx"), "disabled", True)  # the client of the test, not the server
    try:
        configure_log(settings)
        yield stream
    finally:
        logging.root.handlers[:], logging.root.level = before


def lines(stream: io.StringIO, event: str) -> list[dict[str, Any]]:
    entries = [json.loads(line) for line in stream.getvalue().splitlines()]
    return [entry for entry in entries if entry["event"] == event]


def secret_body() -> bytes:
    """An example with a number, a name and a text that nobody else should see."""
    body = msgspec.json.decode(example("estimate"))
    body["build"] |= {"name": SECRETS[1], "vin": SECRETS[0]}
    body["build"]["components"][0]["supplier"] = SECRETS[4]
    return msgspec.json.encode(body)


def test_a_request_is_a_line_of_the_log(monkeypatch: pytest.MonkeyPatch) -> None:
    body = example("estimate")
    with logged(Settings(), monkeypatch) as stream, client() as api:
        answer = api.post("/v1/estimates", content=body, headers={**JSON, "x-request-id": "mine-1"})
    (line,) = lines(stream, "request")
    assert line.pop("seconds") >= 0
    assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d+Z", line.pop("timestamp"))
    assert line == {
        "event": "request",
        "level": "info",
        "request_id": "mine-1",
        "method": "POST",
        "route": "/v1/estimates",
        "status": 200,
        "received": len(body),
        "sent": int(answer.headers["content-length"]),  # compressed
    }


def test_a_problem_is_named_and_an_unsafe_id_replaced(monkeypatch: pytest.MonkeyPatch) -> None:
    with logged(Settings(), monkeypatch) as stream, client() as api:
        answer = api.get("/v1/nothing/s3cr3t-query", headers={"x-request-id": "a b\x7f"})
    (line,) = lines(stream, "request")
    assert (line["route"], line["status"], line["problem"]) == ("none", 404, "/problems/not-found")
    assert line["request_id"] == answer.headers["x-request-id"] != "a b\x7f"


def test_the_id_reaches_what_is_logged_in_a_thread(monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(_: object) -> None:
        logging.getLogger("hitchworth.test").warning("in the thread")
        raise RuntimeError(SECRETS[1])

    monkeypatch.setattr("hitchworth.operations.appraisals.appraisal.settle", lambda *_: fail(None))
    with logged(Settings(), monkeypatch) as stream, client() as api:
        answer = api.post("/v1/settlements", content=example("settlement"), headers={**JSON, "x-request-id": "mine-2"})
    assert answer.status_code == 500
    assert [lines(stream, event)[0]["request_id"] for event in ("in the thread", "request failed", "request")] == [
        "mine-2"
    ] * 3
    ((error,),) = (line["errors"] for line in lines(stream, "request failed"))
    assert error["type"] == "RuntimeError"
    assert re.match(r"hitchworth\.web\..*:\d+ ", error["at"][0]) or "litestar" in error["at"][0]
    assert SECRETS[1] not in stream.getvalue()


def test_nothing_that_a_caller_sends_is_logged_counted_or_traced(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(appraisals, "today", lambda: 1 / 0)  # an error of the server is logged, too
    headers = {**JSON, "authorization": f"Bearer {SECRETS[2]}", "cookie": SECRETS[2]}
    exporter = InMemorySpanExporter()
    with logged(Settings(log_level="debug"), monkeypatch) as stream, spans(exporter, monkeypatch), client() as api:
        for content in (secret_body(), secret_body()[:-9], secret_body().replace(b'"USD"', b'"Robin Example"')):
            api.post("/v1/estimates?format=json", content=content, headers=headers)
        api.post("/v1/classifications", content=secret_body(), headers=headers)
        api.get(f"/v1/letters/{SECRETS[3]}", headers=headers)
        api.get(f"/problems/{SECRETS[3]}", headers=headers)
        api.get(f"/v1/schedules?token={SECRETS[3]}", headers=headers)
        api.get(f"/{SECRETS[3]}", headers=headers)
        api.request(SECRETS[4].upper(), "/health")
        counted = api.get("/metrics").text
    assert len(lines(stream, "request")) == 10
    traced = "".join(span.to_json() for span in exporter.get_finished_spans())
    for secret in SECRETS:
        for told in (stream.getvalue(), counted, traced):
            assert secret.lower() not in told.lower()


def test_the_log_may_be_text_and_without_requests(monkeypatch: pytest.MonkeyPatch) -> None:
    settings = Settings(log_format="text", access_log=False)
    with logged(settings, monkeypatch) as stream, TestClient(create_app(settings=settings)) as api:
        api.get("/health")
        logging.getLogger("hitchworth.test").warning("as text")
    assert "as text" in stream.getvalue()
    assert "{" not in stream.getvalue()
    assert "request" not in stream.getvalue()


def test_what_is_less_severe_is_not_logged(monkeypatch: pytest.MonkeyPatch) -> None:
    with logged(Settings(log_level="warning"), monkeypatch) as stream, client() as api:
        api.get("/health")
    assert stream.getvalue() == ""


def sample(text: str, name: str, **labels: str) -> float:
    """The value of a sample with exactly these labels."""
    found = [
        float(line.rpartition(" ")[2])
        for line in text.splitlines()
        if re.split(r"[{ ]", line)[0] == name and dict(re.findall(r'(\w+)="([^"]*)"', line)) == labels
    ]
    return found[0] if found else 0.0


def test_requests_are_counted_by_their_route() -> None:
    body = example("estimate")
    with client() as api:
        for _ in range(3):
            sent = int(api.post("/v1/estimates", content=body, headers=JSON).headers["content-length"])
        for name in ("not-found", "bad-request", "no-such-kind"):
            api.get(f"/problems/{name}")
        for path in ("/a", "/b", "/c/d"):
            api.get(path)
        response = api.get("/metrics")
    text = response.text
    assert response.headers["content-type"].startswith("text/plain; version=0.0.4")
    assert response.headers["cache-control"] == "no-store"
    estimates = {"method": "POST", "route": "/v1/estimates"}
    assert sample(text, "hitchworth_requests_total", **estimates, status="200") == 3
    assert sample(text, "hitchworth_received_bytes_total", **estimates) == 3 * len(body)
    assert sample(text, "hitchworth_sent_bytes_total", **estimates) == 3 * sent
    assert sample(text, "hitchworth_request_seconds_count", **estimates) == 3
    assert sample(text, "hitchworth_request_seconds_bucket", **estimates, le="+Inf") == 3
    problem_types = {"method": "GET", "route": "/problems/{name}"}
    assert sample(text, "hitchworth_requests_total", **problem_types, status="200") == 2
    assert sample(text, "hitchworth_requests_total", **problem_types, status="404") == 1
    assert sample(text, "hitchworth_requests_total", method="GET", route="none", status="404") == 3
    assert sample(text, "hitchworth_requests_in_flight") == 1  # the one that asks


def test_two_applications_count_apart_and_metrics_may_be_off() -> None:
    with client() as api, client() as other:
        api.get("/health")
        health = {"method": "GET", "route": "/health", "status": "200"}
        assert sample(api.get("/metrics").text, "hitchworth_requests_total", **health) == 1
        assert sample(other.get("/metrics").text, "hitchworth_requests_total", **health) == 0
    with TestClient(create_app(settings=Settings(metrics=False))) as api:
        assert api.get("/metrics").status_code == 404


@contextmanager
def spans(exporter: InMemorySpanExporter, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Spans go to the exporter."""
    provider = TracerProvider()
    provider.add_span_processor(SimpleSpanProcessor(exporter))
    monkeypatch.setattr(trace, "get_tracer", provider.get_tracer)
    yield
    provider.shutdown()


def test_a_request_is_a_span_below_that_of_its_caller(monkeypatch: pytest.MonkeyPatch) -> None:
    exporter = InMemorySpanExporter()
    parent = "00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01"  # the example of W3C Trace Context, 3.2
    with spans(exporter, monkeypatch), client() as api:
        api.get("/problems/not-found", headers={"traceparent": parent})
        monkeypatch.setattr(appraisals, "today", lambda: 1 / 0)
        body = {"build": msgspec.json.decode(example("estimate"))["build"]}
        assert api.post("/v1/estimates", json=body).status_code == 500
    first, second = exporter.get_finished_spans()
    assert first.name == "GET /problems/{name}"
    assert first.kind is trace.SpanKind.SERVER
    assert first.parent is not None
    assert f"{first.parent.trace_id:032x}-{first.parent.span_id:016x}" in parent
    assert dict(first.attributes or {}) == {
        "http.request.method": "GET",
        "http.route": "/problems/{name}",
        "http.response.status_code": 200,
    }
    assert first.status.status_code is trace.StatusCode.UNSET
    assert second.status.status_code is trace.StatusCode.ERROR
    assert not second.events


def test_without_opentelemetry_there_is_no_span(monkeypatch: pytest.MonkeyPatch) -> None:
    with monkeypatch.context() as without:
        without.setitem(sys.modules, "opentelemetry", None)
        importlib.reload(telemetry)
        assert not telemetry.INSTALLED
        with telemetry.request_span({}) as span:
            span.end("GET", "/", 200)
        with pytest.raises(ModuleNotFoundError):
            telemetry.export_spans()
    importlib.reload(telemetry)
    assert telemetry.INSTALLED


class Terminal(io.StringIO):
    """What a person reads."""

    def isatty(self) -> bool:
        return True


def test_on_a_terminal_the_log_is_text_without_the_start_of_the_web_server(monkeypatch: pytest.MonkeyPatch) -> None:
    """Unless a format was chosen; and nothing is told twice."""
    of_uvicorn = logging.getLogger("uvicorn.error")
    for logger in (logging.getLogger("uvicorn"), of_uvicorn):  # a server of another test may have set them up
        for name, value in (("level", logging.NOTSET), ("propagate", True), ("disabled", False)):
            monkeypatch.setattr(logger, name, value)
        logger.setLevel(logging.NOTSET)  # forgets what it found enabled before
    monkeypatch.setattr(io, "StringIO", Terminal)
    with logged(Settings(log_format="json"), monkeypatch) as stream:
        of_uvicorn.info("Started", extra={"color_message": "Started in green"})
    assert [(entry["event"], "color_message" in entry) for entry in lines(stream, "Started")] == [("Started", False)]
    with logged(Settings(), monkeypatch) as stream:
        of_uvicorn.info("Started", extra={"color_message": "Started in green"})
        logging.getLogger("hitchworth.test").warning("as text")
    assert "as text" in stream.getvalue()
    assert "Started" not in stream.getvalue()
    assert "{" not in stream.getvalue()
