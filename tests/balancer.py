"""A load balancer for the tests: each connection goes to the next of the servers whose /ready says 200."""

import asyncio
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from threading import Event, Thread
from urllib.parse import urlsplit

READY = b"GET /ready HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n"
LOOK_EVERY = 0.05


class Balancer:
    """Passes on bytes, in turns. It looks at the servers all the time, as one in use does."""

    def __init__(self) -> None:
        self.address = ""
        self.served: dict[str, int] = {}
        """Connections by server."""
        self._ready: list[str] = []
        self._turn = 0

    def add(self, server: str) -> None:
        """Take a server in. It gets no connection before it is ready."""
        self.served[server] = 0

    async def look(self) -> None:
        while True:
            # A server may be added meanwhile, from another thread.
            self._ready = [server for server in tuple(self.served) if await _is_ready(server)]
            await asyncio.sleep(LOOK_EVERY)

    async def pass_on(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        with suppress(OSError):
            back_reader, back_writer = await self._opened()
            asking = asyncio.create_task(_pumped(reader, back_writer))
            await _pumped(back_reader, writer)  # a server that is gone ends the connection of its caller
            asking.cancel()
            back_writer.close()
        writer.close()

    async def _opened(self) -> tuple[asyncio.StreamReader, asyncio.StreamWriter]:
        """Return a connection to the next server that takes it. While none is ready, wait."""
        while True:
            self._turn += 1
            if self._ready:
                server = self._ready[self._turn % len(self._ready)]
                with suppress(ConnectionRefusedError):
                    opened = await _connected(server)
                    self.served[server] += 1
                    return opened
            await asyncio.sleep(LOOK_EVERY)


@contextmanager
def balanced(*servers: str) -> Iterator[Balancer]:
    """Balance between servers meanwhile."""
    balancer, started, stop = Balancer(), Event(), asyncio.Event()
    for server in servers:
        balancer.add(server)

    async def run() -> None:
        listening = await asyncio.start_server(balancer.pass_on, "127.0.0.1", 0)
        balancer.address = f"http://127.0.0.1:{listening.sockets[0].getsockname()[1]}"
        looking = asyncio.create_task(balancer.look())
        started.set()
        await stop.wait()
        looking.cancel()
        with suppress(asyncio.CancelledError):
            await looking
        listening.close()

    loop = asyncio.new_event_loop()
    thread = Thread(target=lambda: loop.run_until_complete(run()), daemon=True)
    thread.start()
    try:
        assert started.wait(10)
        yield balancer
    finally:
        loop.call_soon_threadsafe(stop.set)
        thread.join(10)


async def _is_ready(server: str) -> bool:
    try:
        reader, writer = await _connected(server)
        writer.write(READY)
        answer = await asyncio.wait_for(reader.read(), 5)
        writer.close()
    except (OSError, TimeoutError):
        return False
    return answer.startswith(b"HTTP/1.1 200")


async def _connected(server: str) -> tuple[asyncio.StreamReader, asyncio.StreamWriter]:
    place = urlsplit(server)
    return await asyncio.open_connection(place.hostname, place.port)


async def _pumped(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
    with suppress(OSError):
        while piece := await reader.read(65_536):
            writer.write(piece)
            await writer.drain()
        writer.write_eof()
