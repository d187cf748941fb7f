"""The application in the process of its caller: requests reach it without a server, a port or a network.

The package of the server is imported when a client asks for this, and only then.
"""

import asyncio
from importlib import import_module
from threading import Thread
from typing import Any

import httpx2

from hitchworth_sdk.errors import ConfigurationError

SERVER_MODULE = "hitchworth.web.in_process"


class AsyncLocalTransport(httpx2.AsyncBaseTransport):
    """Starts the application at the first request, in the event loop of that, and stops it when it is closed."""

    def __init__(self, database: str | None) -> None:
        self._database = database
        self._in_process = _server_module()
        self._life: asyncio.Task[None] | None = None
        self._started: asyncio.Future[Any] | None = None
        self._stop = asyncio.Event()

    async def start(self) -> Any:
        """Start the application unless it has been, and return it. Raises ConfigurationError when it cannot start."""
        if self._started is None:
            self._started = asyncio.get_running_loop().create_future()
            self._life = asyncio.create_task(self._live(self._started))
        return await asyncio.shield(self._started)

    async def handle_async_request(self, request: httpx2.Request) -> httpx2.Response:
        carrier = httpx2.ASGITransport(app=await self.start(), raise_app_exceptions=False)
        return await carrier.handle_async_request(request)

    async def aclose(self) -> None:
        self._stop.set()
        if self._life is not None:
            await self._life

    async def _live(self, started: asyncio.Future[Any]) -> None:
        """Keep the application running until it is to stop, in one task, as the framework wants it."""
        try:
            async with self._in_process.application(self._database) as application:
                started.set_result(application)
                await self._stop.wait()
        except Exception as error:
            if started.done():
                raise
            failure = ConfigurationError(f"the application cannot be started: {error}")
            failure.__cause__ = error
            started.set_exception(failure)


class LocalTransport(httpx2.BaseTransport):
    """Runs the application in the event loop of a thread of its own. Threads may share it."""

    def __init__(self, database: str | None) -> None:
        self._application = AsyncLocalTransport(database)
        self._loop = asyncio.new_event_loop()
        self._thread = Thread(target=self._loop.run_forever, name="hitchworth-local", daemon=True)
        self._thread.start()
        try:
            asyncio.run_coroutine_threadsafe(self._application.start(), self._loop).result()
        except ConfigurationError:
            self.close()
            raise

    def handle_request(self, request: httpx2.Request) -> httpx2.Response:
        silence = request.extensions.get("timeout", {}).get("read")
        request.read()
        carried = asyncio.run_coroutine_threadsafe(self._carried(request), self._loop)
        try:
            return carried.result(silence)
        except TimeoutError:
            carried.cancel()
            raise httpx2.ReadTimeout("the application did not answer in time", request=request) from None

    def close(self) -> None:
        if self._thread.is_alive():
            asyncio.run_coroutine_threadsafe(self._application.aclose(), self._loop).result()
            self._loop.call_soon_threadsafe(self._loop.stop)
            self._thread.join()
            self._loop.close()

    async def _carried(self, request: httpx2.Request) -> httpx2.Response:
        """Return the answer with its content whole, as it came: what is compressed is unpacked by the client."""
        asked = httpx2.Request(request.method, request.url, headers=request.headers, content=request.content)
        answer = await self._application.handle_async_request(asked)
        content = b"".join([piece async for piece in answer.aiter_raw()])
        return httpx2.Response(answer.status_code, headers=answer.headers, stream=httpx2.ByteStream(content))


def _server_module() -> Any:
    """Return the module of the server that starts its application. Raises ConfigurationError without one."""
    try:
        return import_module(SERVER_MODULE)
    except ImportError as error:
        message = "local() needs the server in this environment, which is not installed: pip install hitchworth"
        raise ConfigurationError(message) from error
