"""Send one message: to a checked address, within a limited time, and without reading more than the status.

The host is resolved once. Every address that it has is checked, and the connection is made to a checked one: a name
that leads elsewhere a moment later changes nothing. The certificate is still that of the name. Redirects are not
followed, and no proxy is used.
"""

from collections.abc import Callable, Iterable, Mapping
from socket import gaierror
from ssl import SSLCertVerificationError, SSLContext
from time import monotonic
from typing import Any

import httpcore2
from msgspec import Struct

from hitchworth.webhooks.address import AddressRules, UnsafeAddressError, require_safe_url, resolved

GONE = 410


class DeliveryOutcome(Struct, frozen=True, kw_only=True):
    """What came of sending a message."""

    status: int | None = None
    """The status of the answer; None: there was none."""
    error: str | None = None
    """Why it has failed; None: it was delivered."""

    @property
    def is_gone(self) -> bool:
        """The receiver says that it wants no more messages."""
        return self.status == GONE


class Sender:
    """Sends messages by the rules of the operator. Threads may share it."""

    def __init__(
        self,
        rules: AddressRules,
        seconds: float,
        context: SSLContext | None = None,
        resolve: Callable[[str, int, AddressRules], tuple[str, ...]] = resolved,
    ) -> None:
        """seconds: how long one message may take in all. context: whose certificates are trusted; default: public."""
        self.rules = rules
        self.seconds = seconds
        self._context = context
        self._resolve = resolve

    def send(self, url: str, headers: Mapping[str, str], body: bytes) -> DeliveryOutcome:
        """Send a message and return what came of it. Nothing is raised for what the receiver or the network does."""
        try:
            return _judged(self._status(url, headers, body))
        except UnsafeAddressError as error:
            return DeliveryOutcome(error=f"refused: {error}")
        except httpcore2.TimeoutException:
            return DeliveryOutcome(error=f"no answer within {self.seconds:g} seconds")
        except (httpcore2.NetworkError, OSError, UnicodeError) as error:
            return DeliveryOutcome(error=_told(error))
        except httpcore2.ProtocolError:
            return DeliveryOutcome(error="the answer is not HTTP")

    def _status(self, url: str, headers: Mapping[str, str], body: bytes) -> int:
        require_safe_url(url, self.rules)
        deadline = monotonic() + self.seconds
        network = _CheckedNetwork(self.rules, self._resolve, deadline)
        timeouts = dict.fromkeys(("connect", "read", "write", "pool"), self.seconds)
        with (
            httpcore2.ConnectionPool(ssl_context=self._context, network_backend=network) as pool,
            pool.stream(
                "POST", url, headers=list(headers.items()), content=body, extensions={"timeout": timeouts}
            ) as answer,
        ):
            return int(answer.status)


class _CheckedNetwork(httpcore2.NetworkBackend):
    """Connects to checked addresses alone, and to none after the deadline."""

    def __init__(
        self, rules: AddressRules, resolve: Callable[[str, int, AddressRules], tuple[str, ...]], deadline: float
    ) -> None:
        self._rules = rules
        self._resolve = resolve
        self._deadline = deadline
        self._plain = httpcore2.SyncBackend()

    def connect_tcp(
        self,
        host: str,
        port: int,
        timeout: float | None = None,
        local_address: str | None = None,
        socket_options: Iterable[Any] | None = None,
    ) -> httpcore2.NetworkStream:
        """Connect to the first address of the host that answers."""
        failed: Exception = httpcore2.ConnectError("the name has no address")
        for address in self._resolve(host, port, self._rules):
            try:
                left = _left(self._deadline)
                stream = self._plain.connect_tcp(address, port, left, local_address, socket_options)
                return _TimedStream(stream, self._deadline)
            except httpcore2.NetworkError as error:
                failed = error
        raise failed


class _TimedStream(httpcore2.NetworkStream):
    """A connection that ends at a deadline, however slowly the other side talks."""

    def __init__(self, stream: httpcore2.NetworkStream, deadline: float) -> None:
        self._stream = stream
        self._deadline = deadline

    def read(self, max_bytes: int, timeout: float | None = None) -> bytes:
        return self._stream.read(max_bytes, _left(self._deadline))

    def write(self, buffer: bytes, timeout: float | None = None) -> None:
        self._stream.write(buffer, _left(self._deadline))

    def close(self) -> None:
        self._stream.close()

    def start_tls(
        self, ssl_context: SSLContext, server_hostname: str | None = None, timeout: float | None = None
    ) -> httpcore2.NetworkStream:
        """Encrypt the connection. The certificate has to be that of the name, not of the address."""
        return _TimedStream(self._stream.start_tls(ssl_context, server_hostname, _left(self._deadline)), self._deadline)

    def get_extra_info(self, info: str) -> Any:
        return self._stream.get_extra_info(info)


def _left(deadline: float) -> float:
    left = deadline - monotonic()
    if left <= 0:
        raise httpcore2.ReadTimeout("the time is over")
    return left


def _judged(status: int) -> DeliveryOutcome:
    if 200 <= status < 300:
        return DeliveryOutcome(status=status)
    why = "; redirects are not followed" if 300 <= status < 400 else ""
    return DeliveryOutcome(status=status, error=f"the receiver answered {status}{why}")


def _told(error: Exception) -> str:
    """Return why there was no connection. What the other side says of itself is not repeated."""
    causes: list[BaseException] = [error]
    while (cause := causes[-1].__cause__ or causes[-1].__context__) is not None and cause not in causes:
        causes.append(cause)
    if any(isinstance(each, SSLCertVerificationError) for each in causes):
        return "the certificate of the receiver is not valid for it"
    if any(isinstance(each, (gaierror, UnicodeError)) for each in causes):
        return "the name of the receiver has no address"
    return "no connection to the receiver"
