"""A caller behind a load balancer, for the test of several servers on one database.

Each request may reach another server, and a server may be gone before it has answered. Then the caller asks again:
what creates under the same idempotency key, what replaces after looking whether it was replaced.
"""

from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple, TypeVar

import httpx2

from adding_caller import component

Answer = TypeVar("Answer")
TRIES = 200


class Report(NamedTuple):
    """What a caller has met."""

    acknowledged: tuple[str, ...]
    """Ids of the components that it was told are kept."""
    collisions: int
    """How often somebody else was faster."""
    broken: int
    """Requests without an answer."""


def call(address: str, build: str, key: str, caller: int, until: Path) -> Report:
    """Add components until a file is there: by POST, sent twice under one key, and by PUT of the whole, in turns."""
    each = Caller(address + build, key)
    done: list[str] = []
    while not until.exists():
        name = f"{caller}-{len(done)}"
        (each.post if len(done) % 2 else each.put)(name)
        assert name in each.names(), f"{name} was acknowledged, and another server does not have it"
        done.append(name)
    return Report(tuple(done), each.collisions, each.broken)


class Caller:
    """Sends each request over a connection of its own, through the balancer."""

    def __init__(self, build: str, key: str) -> None:
        self._build = build
        self._headers = {"authorization": f"Bearer {key}", "x-forwarded-for": "192.0.2.7", "connection": "close"}
        self.collisions = self.broken = 0

    def names(self) -> list[str]:
        return [part["id"] for part in self._read().json()["build"].get("components", [])]

    def post(self, name: str) -> None:
        headers = {"idempotency-key": f"add-{name}"}
        first, second = (
            self._answered(lambda: self._sent("POST", "/components", component(name), headers)) for _ in range(2)
        )
        assert (first.status_code, second.status_code) == (201, 201), (first.text, second.text)
        assert first.json()["revision"] == second.json()["revision"]

    def put(self, name: str) -> None:
        for _ in range(TRIES):
            read = self._read()
            document = read.json()
            parts = document["build"].setdefault("components", [])
            if name in [part["id"] for part in parts]:  # the answer was lost, not the change
                return
            parts.append(component(name))
            try:
                put = self._sent("PUT", "", document, {"if-match": read.headers["etag"]})
            except httpx2.TransportError:
                self.broken += 1
                continue
            if put.status_code == 200:
                return
            assert put.status_code == 412, put.text
            self.collisions += 1
        raise AssertionError("never the fastest")

    def _read(self) -> httpx2.Response:
        read = self._answered(lambda: self._sent("GET", "", None, {}))
        assert read.status_code == 200, read.text
        return read

    def _sent(self, method: str, path: str, body: Any, headers: dict[str, str]) -> httpx2.Response:
        return httpx2.request(method, self._build + path, json=body, headers=self._headers | headers, timeout=60)

    def _answered(self, send: Callable[[], Answer]) -> Answer:
        for _ in range(TRIES):
            try:
                return send()
            except httpx2.TransportError:
                self.broken += 1
        raise AssertionError("no server answers")
