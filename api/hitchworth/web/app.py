"""The ASGI application."""

from litestar import Litestar
from litestar.datastructures import State

from hitchworth.store import Store
from hitchworth.web.api import operations_by_path
from hitchworth.web.docs import documentation_routes
from hitchworth.web.http import problem_response
from hitchworth.web.pipeline import route


def create_app(store: Store | None = None) -> Litestar:
    """Create the API with its documentation. Without a store it keeps nothing.

    The framework's own description, error pages and log are not used.
    """
    return Litestar(
        [*(route(path, operations) for path, operations in operations_by_path().items()), *documentation_routes()],
        exception_handlers={Exception: problem_response},
        request_max_body_size=None,  # read_body limits it
        openapi_config=None,
        logging_config=None,
        state=State({"store": store}),
    )
