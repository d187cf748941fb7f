"""A client of an application that keeps builds, for the tests of their resources."""

from typing import Any
from urllib.parse import quote

import msgspec
from litestar import Litestar
from litestar.testing import TestClient

from web_server import JSON, example

BARE = b'{"name": "Camper", "currency": "USD"}'
"""The shortest document."""

PATCH = {"content-type": "application/merge-patch+json"}


class KeptBuilds:
    """What a caller does with kept builds: it remembers the ETag of each, and sends it back with a change."""

    def __init__(self, api: TestClient[Litestar]) -> None:
        self.api = api
        self.tags: dict[str, str] = {}

    def create(self, body: bytes = BARE, **query: str) -> str:
        """Keep a build and return its address."""
        response = self.api.post("/v1/builds", content=body, headers=JSON, params=query)
        assert response.status_code == 201, response.text
        address = str(response.headers["location"])
        self.tags[address] = response.headers["etag"]
        return address

    def example(self) -> str:
        """Keep the example document and return the address of the build."""
        return self.create(example("kept-build"))

    def change(self, method: str, build: str, path: str = "", body: Any = None, **more: Any) -> Any:
        """Change a build, or a part of it, as it was seen last."""
        headers = {"if-match": self.tags[build], **(PATCH if method == "PATCH" else JSON), **more.pop("headers", {})}
        content = None if body is None else body if isinstance(body, bytes) else msgspec.json.encode(body)
        response = self.api.request(method, f"{build}{quote(path)}", content=content, headers=headers, **more)
        if response.status_code < 300:
            self.tags[build] = response.headers["etag"]
        return response

    def add(self, build: str, path: str, body: Any, **headers: str) -> Any:
        """Add a part to a build, whatever it is by then."""
        content = body if isinstance(body, bytes) else msgspec.json.encode(body)
        response = self.api.post(f"{build}{path}", content=content, headers=JSON | headers)
        if response.status_code < 300:
            self.tags[build] = response.headers["etag"]
        return response

    def get(self, address: str, **query: Any) -> Any:
        """Read, and return the JSON of the answer."""
        response = self.api.get(address, params=query)
        assert response.status_code == 200, response.text
        return response.json()
