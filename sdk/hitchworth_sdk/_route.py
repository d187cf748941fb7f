"""The way to the server: its address and the proxy before it; and what went wrong on the way, told of the right one."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from http import HTTPStatus
from ipaddress import ip_address
from urllib.request import proxy_bypass

import httpx2

from hitchworth_sdk._exchange import PROBLEM_JSON, reason, received_id
from hitchworth_sdk._messages import REQUEST_ID, Request, Response
from hitchworth_sdk.errors import ConfigurationError, ProxyError, ResponseTimeoutError, TransportError

PROXY_SCHEMES = ("http", "https", "socks5", "socks5h")


@dataclass(frozen=True)
class Route:
    """The address of the server, and that of the proxy before it, if there is one."""

    server: httpx2.URL
    proxy: httpx2.URL | None = None

    def url(self, request: Request) -> httpx2.URL:
        """Return the address of a request, without its query."""
        root = self.server.raw_path.rstrip(b"/")
        return self.server.copy_with(raw_path=root + request.path.encode("ascii"))

    def outcome(self, request: Request, answer: httpx2.Response, content: bytes) -> Response | TransportError:
        """Return an answer as the API's, or as the refusal of the proxy.

        An answer of the API has the id of the request or is a problem document. A proxy's has neither.
        """
        response = Response(
            answer.status_code, answer.headers, content, datetime.now(UTC), received_id(request, answer.headers)
        )
        is_own = REQUEST_ID in answer.headers or response.media_type == PROBLEM_JSON
        refused = answer.status_code == HTTPStatus.PROXY_AUTHENTICATION_REQUIRED or (
            self.proxy is not None and answer.status_code >= HTTPStatus.BAD_REQUEST and not is_own
        )
        if not refused:
            return response
        told = f"{answer.status_code} {reason(answer.status_code)}"
        return ProxyError(f"{self._proxy()} answered in its place: {told}", request.id, answer.status_code)

    def failure(self, request: Request, error: httpx2.RequestError, timeout: float) -> TransportError:
        """Return why no answer came, with the cause: from the server, or from the proxy when it is the proxy's."""
        why = f"{error or type(error).__name__}"
        failed: TransportError
        if isinstance(error, httpx2.ProxyError):
            failed = ProxyError(f"{self._proxy()} refused: {why}", request.id, _leading_status(why))
        elif isinstance(error, httpx2.ConnectError) and self.proxy is not None:
            failed = ProxyError(f"{self._proxy()} cannot be reached: {why}", request.id)
        elif isinstance(error, httpx2.TimeoutException):
            failed = ResponseTimeoutError(f"no answer from {shown(self.server)} within {timeout:g} s", request.id)
        else:
            failed = TransportError(f"no answer from {shown(self.server)}: {why}", request.id)
        failed.__cause__ = error
        return failed

    def too_late(self, request: Request, deadline: float) -> ResponseTimeoutError:
        """Return that the deadline of a call has passed."""
        message = f"no answer from {shown(self.server)} before the deadline of {deadline:g} s"
        return ResponseTimeoutError(message, request.id)

    def _proxy(self) -> str:
        """Name the proxy, and the server that is behind it."""
        address = "" if self.proxy is None else f" {shown(self.proxy)}"
        return f"no answer from {shown(self.server)}: the proxy{address}"


def shown(url: httpx2.URL) -> str:
    """Return an address for a message, without a name and a password in it."""
    return str(url.copy_with(userinfo=b""))


def route_to(server: httpx2.URL, proxies: Mapping[str, str]) -> Route:
    """Return the way to a server.

    proxies: the proxies of this machine, by scheme, as urllib.request.getproxies finds them. There is none before this
    machine itself, nor before a host that NO_PROXY names.

    Raises ConfigurationError when the proxy has no usable address.
    """
    address = proxies.get(server.scheme) or proxies.get("all") or ""
    if not address or is_loopback(server.host) or proxy_bypass(server.host):
        return Route(server)
    try:
        proxy = httpx2.URL(address if "://" in address else f"http://{address}")
    except httpx2.InvalidURL:
        proxy = httpx2.URL("")
    if proxy.scheme not in PROXY_SCHEMES or not proxy.host:
        raise ConfigurationError(f"the proxy of this machine for {server.scheme} has no usable address")
    return Route(server, proxy)


def is_loopback(host: str) -> bool:
    """Say whether a host is this machine: localhost, a name below it, 127.0.0.0/8 or ::1."""
    name = host.lower().rstrip(".")
    if name == "localhost" or name.endswith(".localhost"):
        return True
    try:
        return ip_address(name).is_loopback
    except ValueError:
        return False


def _leading_status(text: str) -> int | None:
    """Return the status at the beginning of a text: 403 of "403 Forbidden"."""
    first = text.partition(" ")[0]
    return int(first) if first.isascii() and first.isdigit() else None
