"""Real receivers of messages, on this machine: each answers in its own way and keeps what it got."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from ssl import SSLContext
from threading import Event, Lock, Thread
from time import sleep
from typing import Any, NamedTuple

from hitchworth.webhooks.address import AddressRules, read_networks
from hitchworth.webhooks.sender import Sender

LOOPBACK = AddressRules(networks=read_networks("127.0.0.0/8, ::1/128"), http=True)


class Got(NamedTuple):
    """A message as it arrived."""

    headers: dict[str, str]
    body: bytes

    @property
    def id(self) -> str:
        return self.headers["webhook-id"]


Answer = Callable[[BaseHTTPRequestHandler], None]


class Receiver:
    """What a receiver got, and how it answers. It may change its mind."""

    def __init__(self, answer: Answer) -> None:
        self.answer = answer
        self.got: list[Got] = []
        self.url = ""
        self.closing = Event()
        self._lock = Lock()

    def keep(self, got: Got) -> None:
        with self._lock:
            self.got.append(got)


def status(code: int, **headers: str) -> Answer:
    """An answer with this status."""

    def answer(handler: BaseHTTPRequestHandler) -> None:
        handler.send_response(code)
        for name, value in headers.items():
            handler.send_header(name, value)
        handler.send_header("content-length", "0")
        handler.end_headers()

    return answer


def hang(handler: BaseHTTPRequestHandler) -> None:
    """No answer for a long time."""
    handler.server.receiver.closing.wait(20)  # type: ignore[attr-defined]


def drip(handler: BaseHTTPRequestHandler) -> None:
    """An answer that never ends, a byte every tenth of a second: no single read takes long."""
    handler.wfile.write(b"HTTP/1.1 200 OK\r\nx-slow: ")
    while not handler.server.receiver.closing.is_set():  # type: ignore[attr-defined]
        handler.wfile.write(b"a")
        handler.wfile.flush()
        sleep(0.1)


def huge(handler: BaseHTTPRequestHandler) -> None:
    """A good status, and then more bytes than anybody wants to read."""
    handler.send_response(200)
    handler.send_header("content-length", str(10**12))
    handler.end_headers()
    while not handler.server.receiver.closing.is_set():  # type: ignore[attr-defined]
        handler.wfile.write(b"x" * 65_536)


def huge_headers(handler: BaseHTTPRequestHandler) -> None:
    """Headers without an end."""
    handler.wfile.write(b"HTTP/1.1 200 OK\r\n")
    while not handler.server.receiver.closing.is_set():  # type: ignore[attr-defined]
        handler.wfile.write(b"x-more: " + b"x" * 8_000 + b"\r\n")


def gibberish(handler: BaseHTTPRequestHandler) -> None:
    handler.wfile.write(b"220 mail.example ESMTP\r\n\r\n")


def cut_off(handler: BaseHTTPRequestHandler) -> None:
    """The connection is closed without an answer."""


class _Handler(BaseHTTPRequestHandler):
    def do_POST(self) -> None:
        receiver: Receiver = self.server.receiver  # type: ignore[attr-defined]
        body = self.rfile.read(int(self.headers["content-length"]))
        receiver.keep(Got({name.lower(): value for name, value in self.headers.items()}, body))
        self.close_connection = True
        try:
            receiver.answer(self)
        except OSError:  # the sender has had enough
            return

    def log_message(self, *_: Any) -> None:
        """Say nothing."""


class _Server(ThreadingHTTPServer):
    daemon_threads = True
    block_on_close = False

    def handle_error(self, *_: Any) -> None:
        """A sender that hangs up is no error here."""


@contextmanager
def receiving(answer: Answer, tls: SSLContext | None = None) -> Iterator[Receiver]:
    """Serve on a free port of this machine."""
    receiver = Receiver(answer)
    server = _Server(("127.0.0.1", 0), _Handler)
    server.receiver = receiver  # type: ignore[attr-defined]
    if tls is not None:
        server.socket = tls.wrap_socket(server.socket, server_side=True)
    receiver.url = f"{'https' if tls else 'http'}://127.0.0.1:{server.server_address[1]}/hook"
    thread = Thread(target=server.serve_forever, kwargs={"poll_interval": 0.05}, daemon=True)
    thread.start()
    try:
        yield receiver
    finally:
        receiver.closing.set()
        server.shutdown()
        server.server_close()


def local_sender(seconds: float = 5) -> Sender:
    """A sender that may send to this machine."""
    return Sender(LOOPBACK, seconds)
