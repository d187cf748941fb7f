"""The ASGI application."""

from asyncio import to_thread

from litestar import Litestar
from litestar.datastructures import State

from hitchworth.operations.readiness import load_reference_data
from hitchworth.operations.settings import Settings
from hitchworth.operations.webhook_delivery import sender_of
from hitchworth.operations.workshop import workshop_of
from hitchworth.store import Store
from hitchworth.web.api import operations_by_path
from hitchworth.web.cross_origin import CrossOrigin, allowed_origins
from hitchworth.web.docs import documentation_routes
from hitchworth.web.hosts import allowed_names, keys_are_required
from hitchworth.web.http import problem_response
from hitchworth.web.metrics import Metrics, metrics_operation
from hitchworth.web.observation import Observation
from hitchworth.web.page import page_routes
from hitchworth.web.pipeline import route
from hitchworth.web.rate_limit import RateLimit
from hitchworth.web.server_state import ServerState


def create_app(
    store: Store | None = None, settings: Settings | None = None, server: ServerState | None = None
) -> Litestar:
    """Create the API with its documentation. The framework's own description, error pages and log are not used.

    store: where builds are kept; without one nothing is.
    settings: those of the server; default: the defaults of each.
    server: what the server that runs the application tells it, and is told. Without it the application does not know
        under which names it is called, and allows any unless the settings name some.
    """
    served = server is not None
    settings, server = settings or Settings(), server or ServerState()
    server.store = store
    metrics = Metrics(server)
    origins = allowed_origins(settings)
    application = Litestar(
        [
            *(route(path, operations) for path, operations in operations_by_path().items()),
            *documentation_routes(),
            *page_routes(),
            *([route("/metrics", [metrics_operation(metrics)])] if settings.metrics else ()),
        ],
        on_startup=[_load_reference_data, *([server.workers.start] if server.workers else ())],
        on_shutdown=[_finish, *([server.workers.stop] if server.workers else ())],
        exception_handlers={Exception: problem_response},
        state=State(
            {
                "store": store,
                "settings": settings,
                "server": server,
                "sender": sender_of(settings),
                "workshop": workshop_of(settings),
                "allowed_names": allowed_names(settings) if served or settings.allowed_hosts else frozenset(),
                "origins": origins,
                "keys_are_required": keys_are_required(settings),
                "rate_limit": RateLimit(settings.rate_limit),
            }
        ),
        request_max_body_size=None,  # read_body limits it
        openapi_config=None,
        logging_config=None,
    )
    if origins:
        application.asgi_handler = CrossOrigin(application.asgi_handler, origins)
    application.asgi_handler = Observation(application.asgi_handler, metrics, server, access_log=settings.access_log)
    return application


async def _finish(application: Litestar) -> None:
    """Write what waits to be written: the process may end before its store is closed."""
    store: Store | None = application.state["store"]
    if store is not None:
        await to_thread(store.finish)


async def _load_reference_data() -> None:
    """Load the reference data before the first request, so that none has to wait for it."""
    await to_thread(load_reference_data)
