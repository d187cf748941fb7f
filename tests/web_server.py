"""The application in this process, for the tests of the API."""

from collections.abc import Iterator
from contextlib import contextmanager
from importlib.resources import files
from typing import Any

from litestar import Litestar
from litestar.testing import TestClient

from hitchworth.store import Store
from hitchworth.web.app import create_app

JSON = {"content-type": "application/json"}


@contextmanager
def client(store: Store | None = None) -> Iterator[TestClient[Litestar]]:
    """A client of a new application, with what the store keeps."""
    with TestClient(create_app(store)) as api:
        yield api


def example(name: str) -> bytes:
    """An example body of the description, by the name of its file."""
    return files("hitchworth.web.examples").joinpath(f"{name}.json").read_bytes()


def assert_problem(response: Any, status: int, kind: str) -> None:
    """The response is a complete problem document of this status and type, with the id of the request."""
    assert (response.status_code, response.headers["content-type"]) == (status, "application/problem+json")
    assert response.headers["x-content-type-options"] == "nosniff"
    problem = response.json()
    assert problem["type"] == f"/problems/{kind}"
    assert problem["status"] == status
    assert problem["title"]
    assert problem["detail"]
    assert problem["instance"] == f"/requests/{response.headers['x-request-id']}"
