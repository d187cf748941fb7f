"""The application for a caller in the same process: started and stopped without a server and without a port."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from litestar import Litestar

from hitchworth.operations.settings import Settings
from hitchworth.store import open_store
from hitchworth.web.app import create_app


@asynccontextmanager
async def application(database: str | None) -> AsyncIterator[Litestar]:
    """Start the application, with the builds of a database if one is named, and stop it at the end.

    Nobody else can call it: it asks for no key, limits no rate, logs no request and sends nothing to webhooks.

    database: the path of a file, or postgresql://USER@HOST/NAME; as in open_store, whose errors it raises.
    """
    store = None if database is None else open_store(database)
    settings = Settings(database=database, access_log=False, metrics=False, rate_limit=0, webhooks=False)
    try:
        started = create_app(store, settings)
        async with started.lifespan():
            yield started
    finally:
        if store is not None:
            store.close()
