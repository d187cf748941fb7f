"""The application that a server runs."""

import gc

from litestar import Litestar

from hitchworth.web.api import by_path
from hitchworth.web.docs import document_routes
from hitchworth.web.http import problem_answer
from hitchworth.web.pipeline import route


def create_app() -> Litestar:
    """The API with its documents. The framework's own document, answers to errors and log are not used."""
    return Litestar(
        [*(route(path, operations) for path, operations in by_path().items()), *document_routes()],
        exception_handlers={Exception: problem_answer},
        request_max_body_size=None,  # the road bounds it
        openapi_config=None,
        logging_config=None,
        on_startup=[settle_memory],
    )


def settle_memory() -> None:
    """Keep what is loaded out of the collector's rounds, and make these rarer: then no answer waits long for them."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)
