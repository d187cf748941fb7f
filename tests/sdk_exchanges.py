"""Clients of a server that is played: it gives the prepared answers in turn and keeps what it was asked."""

from collections.abc import Mapping

import httpx2

from hitchworth_sdk import AsyncClient, Client


class PlayedServer:
    """Gives one prepared answer a request, the last again and again. An exception is raised instead."""

    def __init__(self, *plays: httpx2.Response | Exception) -> None:
        self._plays = plays
        self.requests: list[httpx2.Request] = []

    def __call__(self, request: httpx2.Request) -> httpx2.Response:
        play = self._plays[min(len(self.requests), len(self._plays) - 1)]
        self.requests.append(request)
        if isinstance(play, Exception):
            raise play
        return play

    def client(self, *, retries: int = 2, headers: Mapping[str, str] | None = None) -> Client:
        """A client whose requests come here."""
        transport = httpx2.MockTransport(self)
        return Client("http://server.test", retries=retries, headers=headers, transport=transport)

    def async_client(self, *, retries: int = 2) -> AsyncClient:
        """An asynchronous client whose requests come here."""
        return AsyncClient("http://server.test", retries=retries, transport=httpx2.MockTransport(self))


def healthy() -> httpx2.Response:
    return httpx2.Response(200, json={"status": "ok", "version": "1"})


def problem(status: int, headers: Mapping[str, str] | None = None, **members: object) -> httpx2.Response:
    """A problem document with these members."""
    told = {"Content-Type": "application/problem+json", **(headers or {})}
    return httpx2.Response(status, json={"status": status, **members}, headers=told)
